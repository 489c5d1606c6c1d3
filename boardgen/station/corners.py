"""The extremes at which a station must work, and what diodes drop there."""

from __future__ import annotations

import math
from typing import Final, Literal

from msgspec import Struct

from boardgen.direct_current.curves import BOLTZMANN_OVER_CHARGE_V_PER_K, KELVIN_AT_0C, exponential, through
from boardgen.direct_current.elements import Curve
from boardgen.model.part import Part

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
"""Of a part whose reverse current is not known (assumed)."""
LEAK_DOUBLES_K: Final = 10.0
"""Kelvins by which the reverse current of a diode doubles. Source: electronics textbooks (recalled)."""
CURRENTS_A: Final = tuple(10 ** (n / 3) for n in range(-18, 1))
"""Currents between which a diode's curve is straight, three a decade: 3 mV beside the junction's own at most."""


class Corner(Struct, frozen=True):
    """An extreme: its name, temperature of the surroundings, supply, and which end of each tolerance is taken.

    At the lowest supply diodes drop most, at the highest least. `is_warm` says that a coil that is on has warmed up:
    so it is in the hottest surroundings, while in the coldest it has only just been switched on.
    """

    name: str
    celsius: float
    supply_v: float
    drop: Literal["most", "typical", "least"]
    is_warm: bool = True

    @property
    def is_low(self) -> bool:
        """Whether wanted relays have least volts here."""
        return self.drop == "most"


class Law(Struct, frozen=True):
    """The law of a junction: saturation current, emission coefficient, series resistance, at a temperature.

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


def corners(hottest: float, coldest: float, lowest_v: float, highest_v: float) -> tuple[Corner, ...]:
    """Both ends of temperature and supply."""
    found: list[Corner] = []
    for warm, celsius in (("hottest", hottest), ("coldest", coldest)):
        found.append(Corner(f"{warm} and lowest supply", celsius, lowest_v, "most", warm == "hottest"))
        found.append(Corner(f"{warm} and highest supply", celsius, highest_v, "least", warm == "hottest"))
    return tuple(found)


def law(part: Part, corner: Corner) -> Law:
    """The law of a diode, through the worst forward voltage for this corner at the current the catalogue gives it."""
    forward = part.figures["forward voltage"]
    emission, series = part.figure("emission coefficient"), part.figure("series resistance")
    coefficient = emission.value if emission else EMISSION
    series_ohm = series.value if series else SERIES_OHM
    at_25c = {"most": forward.most, "typical": forward.value, "least": forward.least}[corner.drop]
    volts = at_25c + FORWARD_V_PER_K * (corner.celsius - FORWARD_CELSIUS)
    thermal_v = coefficient * BOLTZMANN_OVER_CHARGE_V_PER_K * (corner.celsius + KELVIN_AT_0C)
    saturation = FORWARD_A / math.expm1(max(0.05, volts - FORWARD_A * series_ohm) / thermal_v)
    return Law(saturation, coefficient, series_ohm, corner.celsius, leak_ohm(part, corner.celsius))


def leak_ohm(part: Part, celsius: float) -> float:
    """The resistance that stands for the reverse current of a part at a temperature."""
    reverse_a, reverse_v = part.figure("reverse current"), part.figure("reverse voltage")
    if reverse_a is None or reverse_v is None:
        return LEAK_OHM
    grown = 2 ** ((celsius - FORWARD_CELSIUS) / LEAK_DOUBLES_K)
    return reverse_v.value / (reverse_a.most * grown)
