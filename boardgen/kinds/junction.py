"""The direct-current law that diodes and light-emitting diodes share."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from msgspec import Struct

from boardgen.direct_current.curves import BOLTZMANN_OVER_CHARGE_V_PER_K, KELVIN_AT_0C, exponential, through
from boardgen.direct_current.curves import LEAK_OHM as BENCH_LEAK_OHM
from boardgen.direct_current.elements import Curve, Element
from boardgen.kinds.direct_current import DirectPart, Warmth
from boardgen.model.part import Part

ENDS: Final = ("anode", "cathode")
FORWARD_A: Final = 10e-3
"""Current at which the catalogue gives the forward voltage of a diode."""
FORWARD_CELSIUS: Final = 25.0
"""Temperature at which it does."""
FORWARD_V_PER_K: Final = -2e-3
"""Change of the forward voltage with temperature. Source: electronics textbooks (recalled)."""
EMISSION: Final = 1.8
"""Emission coefficient where the catalogue gives none: between 1 and 2 for silicon (recalled)."""
SERIES_OHM: Final = 0.5
"""Series resistance of a diode where the catalogue gives none (assumed)."""
LEAK_OHM: Final = 10e6
"""Of a diode whose reverse current is not known (assumed)."""
LEAK_DOUBLES_K: Final = 10.0
"""Kelvins by which the reverse current of a diode doubles. Source: electronics textbooks (recalled)."""
CURRENTS_A: Final = tuple(10 ** (n / 3) for n in range(-18, 1))
"""Currents between which a diode's curve is straight, three a decade: 3 mV beside the junction's own at most."""
FORWARD_SPREAD_V: Final = 0.1
"""How far from the typical forward voltage a diode on the bench may be: assumed."""


class Junction(Struct, frozen=True):
    """The law of a junction at a temperature: saturation current, emission coefficient, series resistance.

    `leak_ohm` stands for its reverse current.
    """

    saturation_a: float
    emission: float
    series_ohm: float
    celsius: float
    leak_ohm: float

    def curve(self, name: str, anode: str, cathode: str) -> Curve:
        """A diode of this law between two points."""
        return through(name, anode, cathode, self.points, self.leak_ohm)

    @property
    def points(self) -> tuple[tuple[float, float], ...]:
        """Its curve as straight lines."""
        return exponential(self.saturation_a, self.emission, self.celsius, CURRENTS_A, self.series_ohm)


def junction(part: Part, warmth: Warmth) -> Junction:
    """The law of a diode through an end of its forward voltage at the current for which the catalogue gives it."""
    forward = part.figures["forward voltage"]
    at_25c = {"most": forward.most, "typical": forward.value, "least": forward.least}[warmth.drop]
    return _through(part, at_25c, warmth.celsius, leak_ohm(part, warmth.celsius))


def _through(part: Part, at_25c: float, celsius: float, leak_ohm: float) -> Junction:
    """The law through those volts at FORWARD_A and 25 degC."""
    emission, series = part.figure("emission coefficient"), part.figure("series resistance")
    coefficient = emission.value if emission else EMISSION
    series_ohm = series.value if series else SERIES_OHM
    volts = at_25c + FORWARD_V_PER_K * (celsius - FORWARD_CELSIUS)
    thermal_v = coefficient * BOLTZMANN_OVER_CHARGE_V_PER_K * (celsius + KELVIN_AT_0C)
    saturation = FORWARD_A / math.expm1(max(0.05, volts - FORWARD_A * series_ohm) / thermal_v)
    return Junction(saturation, coefficient, series_ohm, celsius, leak_ohm)


def leak_ohm(part: Part, celsius: float) -> float:
    """The resistance that stands for the reverse current of a part at a temperature."""
    reverse_a, reverse_v = part.figure("reverse current"), part.figure("reverse voltage")
    if reverse_a is None or reverse_v is None:
        return LEAK_OHM
    grown = 2 ** ((celsius - FORWARD_CELSIUS) / LEAK_DOUBLES_K)
    return reverse_v.value / (reverse_a.most * grown)


def direct_current(part: DirectPart) -> Iterator[Element]:
    """The junction's law at its warmth; on the bench at that of a room, with the spread of a sample."""
    anode, cathode = (part.nodes[role] for role in ENDS)
    diode = part.component.part
    if part.warmth is not None:
        law = junction(diode, part.warmth)
    else:
        shift = {"low": -FORWARD_SPREAD_V, "middle": 0.0, "high": FORWARD_SPREAD_V}[part.grade]
        # what leaks through a diode in a room is nothing to the currents of a bench
        law = _through(diode, diode.figures["forward voltage"].value + shift, FORWARD_CELSIUS, BENCH_LEAK_OHM)
    yield law.curve(part.name, anode, cathode)
