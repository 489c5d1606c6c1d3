"""Diodes and suppressors as straight lines."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from boardgen.direct_current.elements import Curve

BOLTZMANN_OVER_CHARGE_V_PER_K: Final = 8.617333262e-5
"""Exact by definition, to its tenth digit."""
KELVIN_AT_0C: Final = 273.15
LEAK_OHM: Final = 1e9
"""Where no leakage is given: far above anything that works a relay."""


def diode(
    name: str, anode: str, cathode: str, threshold_v: float, slope_ohm: float, leak_ohm: float = LEAK_OHM
) -> Curve:
    """A diode that leaks through `leak_ohm` up to its threshold and goes on with `slope_ohm` above it.

    Raises ValueError unless the threshold is above zero and 0 < slope < leak.
    """
    if not (threshold_v > 0 and 0 < slope_ohm < leak_ohm < math.inf):
        message = f"{name}: a diode needs a threshold above zero and a slope above zero and below its leak"
        raise ValueError(message)
    knee_a = threshold_v / leak_ohm
    return Curve(
        name,
        anode,
        cathode,
        ((-1.0, -1.0 / leak_ohm), (threshold_v, knee_a), (threshold_v + 1.0, knee_a + 1.0 / slope_ohm)),
    )


def zener(
    name: str,
    anode: str,
    cathode: str,
    forward: tuple[float, float],
    breakdown: tuple[float, float],
    leak_ohm: float = LEAK_OHM,
) -> Curve:
    """A diode that also conducts backwards: threshold and slope of either direction, volts and ohms, above zero.

    Raises ValueError as `diode` does.
    """
    ahead = diode(name, anode, cathode, *forward, leak_ohm).points[1:]
    back = diode(name, cathode, anode, *breakdown, leak_ohm).points[1:]
    return Curve(name, anode, cathode, (*((-v, -i) for v, i in reversed(back)), *ahead))


def suppressor(name: str, a: str, b: str, stand_off_v: float, slope_ohm: float, leak_ohm: float = LEAK_OHM) -> Curve:
    """A two-way suppressor: it leaks up to its stand-off voltage in either direction, and conducts beyond."""
    return zener(name, a, b, (stand_off_v, slope_ohm), (stand_off_v, slope_ohm), leak_ohm)


def through(
    name: str, anode: str, cathode: str, points: Sequence[tuple[float, float]], leak_ohm: float = LEAK_OHM
) -> Curve:
    """A diode through known points of its forward curve, (volt, ampere) rising, with a leak below the first."""
    return Curve(name, anode, cathode, ((-1.0, -1.0 / leak_ohm), (0.0, 0.0), *points))


def exponential(
    saturation_a: float,
    emission: float,
    celsius: float,
    currents_a: Sequence[float],
    series_ohm: float = 0.0,
) -> tuple[tuple[float, float], ...]:
    """Points of the law of a junction at these currents: v = n Vt ln(1 + i / I_s) + i R_s.

    Source: Shockley's diode equation, Vt = k T / q (recalled).
    """
    thermal_v = emission * BOLTZMANN_OVER_CHARGE_V_PER_K * (celsius + KELVIN_AT_0C)
    return tuple((thermal_v * math.log1p(i / saturation_a) + i * series_ohm, i) for i in currents_a)
