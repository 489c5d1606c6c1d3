"""The main coax behind the board: its loss, and whether it and the board raise the noise floor."""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from boardgen.handbook import bands, coax, noise
from boardgen.rf.response import Response
from boardgen.spec import quantity
from boardgen.spec.keys import Spec

MATTERS_DB = 0.5
"""A rise of the noise floor by less than this is not heard: common practice, no source."""
STEEL_CENTRE = ("RG-6 steel centre", "RG-59", "RG-59 foam")


class SystemPoint(Struct, frozen=True):
    """Losses of board and main coax at one frequency, noise at the antenna's terminals, and rise of the floor, dB."""

    frequency_hz: float
    board_db: float
    coax_db: float
    external_db: float
    rise_db: float


Curve = tuple[tuple[float, complex], ...]


def system(spec: Spec, response: Response, measured: Curve | None = None) -> tuple[SystemPoint, ...]:
    """Loss and noise at the band's edges and the middle of each amateur band in it; empty where no cable is named.

    Parameters
    ----------
    measured : the cable's own attenuation, dB in 100 m at rising frequencies in Hz; it wins over the named cable

    Source: cable model of boardgen.handbook.coax, noise of ITU-R P.372 and Friis in boardgen.handbook.noise.

    """
    feeder = spec.feeder
    if feeder.cable is None and measured is None:
        return ()
    environment = noise.ENVIRONMENTS[feeder.environment]
    points = []
    for frequency in _frequencies(spec):
        at = response.at(frequency)
        board = max(float(c.values[at]) for c in response.of("insertion loss"))
        main = feeder.length * _db_per_m(spec, measured, frequency)
        external = noise.external_db(environment, frequency) + feeder.antenna_gain
        rise = noise.floor_rise_db(external, board + main, feeder.noise_figure)
        points.append(SystemPoint(frequency, board, main, external, rise))
    return tuple(points)


def _db_per_m(spec: Spec, measured: Curve | None, frequency_hz: float) -> float:
    """Measured attenuation is a straight line between its points where both axes are logarithmic."""
    if measured is None:
        return coax.attenuation_db_per_m(coax.CABLES[spec.feeder.cable or ""], frequency_hz)
    frequencies, values = zip(*measured, strict=True)
    decibels = np.log(np.real(values))
    return float(np.exp(np.interp(np.log(frequency_hz), np.log(frequencies), decibels))) / 100


def sentences(spec: Spec, points: tuple[SystemPoint, ...]) -> tuple[str, ...]:
    """What the losses mean, and what that rests on."""
    if not points:
        return ()
    feeder = spec.feeder
    worst = max(points, key=lambda p: p.rise_db)
    if worst.rise_db < MATTERS_DB:
        verdict = f"loss does not matter here: it raises the noise floor by {worst.rise_db:.1f} dB at most"
    else:
        verdict = f"it costs {worst.rise_db:.1f} dB at {quantity.format(worst.frequency_hz, 'Hz', 3)}"
    named = "coax as measured" if spec.measured.cable else feeder.cable
    basis = (
        f"{quantity.format(feeder.length, 'm')} of {named}, {feeder.environment} noise (ITU-R P.372), antenna "
        f"gain {feeder.antenna_gain:g} dB, receiver noise figure {feeder.noise_figure:g} dB"
    )
    found = [verdict, basis]
    if spec.band.lowest < noise.LOWEST_HZ:
        found.append("below 300 kHz the noise figures are an extrapolation")
    if named in STEEL_CENTRE:
        found.append("a steel centre: below 5 MHz the cable's loss is an upper bound")
    return tuple(found)


def _frequencies(spec: Spec) -> list[float]:
    low, high = spec.band.lowest, spec.band.highest
    middles = [sum(bands.edges(name, spec.band.region)) / 2 for name in bands.NAMES]
    return sorted({low, high, *(f for f in middles if low < f < high)})
