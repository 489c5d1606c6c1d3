"""One choke over a band: its impedance from inductance, self resonance, quality and resistance."""

from __future__ import annotations

import functools
import math

from msgspec import Struct

from boardgen.handbook import reactance
from boardgen.model.part import Part
from boardgen.request import needed

ASSUMED_QUALITY = 30.0
"""Q of a choke whose sheet gives none: assumed, the low end of the drum chokes in the catalogue."""
POINTS = 121


class Judged(Struct, frozen=True):
    """A choke over the band: least impedance at the lowest frequency and anywhere, worst of its tolerance.

    `common_mode_ohm` is the least impedance as far up as the common-mode target reaches, at `common_mode_hz`;
    infinite and None where the target ends below the band.
    """

    part: Part
    lowest_ohm: float
    band_ohm: float
    band_hz: float
    common_mode_ohm: float
    common_mode_hz: float | None


def impedance(part: Part, frequency_hz: float, inductance_h: float) -> complex:
    """Z of a choke with that inductance: its nominal self resonance gives the capacitance, its quality the loss."""
    quality = part.figures["quality"].value if "quality" in part.figures else ASSUMED_QUALITY
    loss_ohm = quality * reactance.inductive(frequency_hz, inductance_h)
    dc_ohm = part.figures["dc resistance"].value
    return reactance.choke_impedance(frequency_hz, inductance_h, dc_ohm, _capacitance(part), loss_ohm)


@functools.lru_cache(1024)
def judge(part: Part, lowest_hz: float, highest_hz: float, target_hz: float) -> Judged | None:
    """The choke over a band, its target up to `target_hz`; None where the catalogue lacks a figure that is needed."""
    if needed(part, "inductance", "self resonance", "dc resistance", "rated current") is None:
        return None
    reach_hz = min(target_hz, highest_hz)
    common = _least(part, lowest_hz, reach_hz) if reach_hz >= lowest_hz else (math.inf, None)
    return Judged(part, _worst(part, lowest_hz), *_least(part, lowest_hz, highest_hz), *common)


def _worst(part: Part, frequency_hz: float) -> float:
    """Least |Z| over the tolerance of the inductance."""
    inductance = part.figures["inductance"]
    return min(abs(impedance(part, frequency_hz, henry)) for henry in (inductance.least, inductance.most))


def _least(part: Part, lowest_hz: float, highest_hz: float) -> tuple[float, float]:
    """Least |Z| between two frequencies over the tolerance, and where it is."""
    return min((_worst(part, f), f) for f in log_spaced(lowest_hz, highest_hz, POINTS))


@functools.lru_cache(1024)
def _capacitance(part: Part) -> float:
    return reactance.resonant_capacitance(part.figures["inductance"].value, part.figures["self resonance"].value)


@functools.cache
def log_spaced(low: float, high: float, count: int) -> tuple[float, ...]:
    """`count` values from low to high, both ends exact, evenly spaced on a log axis."""
    step = math.log(high / low) / (count - 1)
    return (low, *(low * math.exp(step * n) for n in range(1, count - 1)), high)
