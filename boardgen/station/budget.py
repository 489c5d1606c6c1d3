"""The path from antenna to receiver: losses, and what they do to the noise floor."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Final

from msgspec import Struct

from boardgen.handbook import bands, coax, noise
from boardgen.spec import quantity
from boardgen.spec.keys import Spec
from boardgen.station.consistency import split
from boardgen.station.keys import Plan

if TYPE_CHECKING:
    from boardgen.rf.response import Response

MATTERS_DB: Final = 0.5
"""A rise of the noise floor by less than this is not heard: common practice, no source."""
Losses = Mapping[str, tuple[tuple[float, float], ...]]
"""By antenna: frequency in Hz and loss of the board in dB, rising frequencies."""


class Point(Struct, frozen=True):
    """At one frequency: loss of box and feeder, noise at the antenna's terminals above k T0 B, rise of the floor, dB.

    `feeder_db` is None where no cable is named, and `rise_db` with it.
    """

    frequency_hz: float
    board_db: float
    feeder_db: float | None
    external_db: float
    rise_db: float | None


class Path(Struct, frozen=True):
    """The path of a direction, and what it means in one sentence."""

    direction: str
    box: str
    antenna: str
    points: tuple[Point, ...]
    sentence: str


def board_losses(response: Response) -> Losses:
    """The insertion loss of each antenna of a box while it is selected, as predicted."""
    frequencies = [float(f) for f in response.frequency_hz]
    return {
        c.selected: tuple(zip(frequencies, (float(v) for v in c.values), strict=True))
        for c in response.of("insertion loss")
    }


def paths(plan: Plan, specs: Mapping[str, Spec], losses: Mapping[str, Losses]) -> tuple[Path, ...]:
    """The path of every direction; the selector's own loss is not in it."""
    found = []
    for direction in plan.direction:
        box, antenna = split(direction.antenna)
        spec = specs[box]
        gain = spec.feeder.antenna_gain if direction.gain is None else direction.gain
        points = tuple(_point(spec, losses[box][antenna], gain, f) for f in _frequencies(spec))
        found.append(Path(direction.label, box, antenna, points, _sentence(direction.label, spec, points)))
    return tuple(found)


def _point(spec: Spec, losses: tuple[tuple[float, float], ...], gain_db: float, frequency_hz: float) -> Point:
    feeder = spec.feeder
    board = max(0.0, min(losses, key=lambda row: abs(row[0] / frequency_hz - 1))[1])
    external = noise.external_db(noise.ENVIRONMENTS[feeder.environment], frequency_hz) + gain_db
    if feeder.cable is None:
        return Point(frequency_hz, board, None, external, None)
    main = feeder.length * coax.attenuation_db_per_m(coax.CABLES[feeder.cable], frequency_hz)
    return Point(frequency_hz, board, main, external, noise.floor_rise_db(external, board + main, feeder.noise_figure))


def _sentence(label: str, spec: Spec, points: tuple[Point, ...]) -> str:
    known = [(p, p.rise_db) for p in points if p.rise_db is not None]
    if not known:
        return f"{label}: no feeder is named for this box, so that nothing is said of the noise floor"
    worst, rise = max(known, key=lambda row: row[1])
    loss = worst.board_db + (worst.feeder_db or 0.0)
    at = quantity.format(worst.frequency_hz, "Hz", 3)
    if rise < MATTERS_DB:
        return f"{label}: {loss:.1f} dB of loss at {at} raise the noise floor by {rise:.1f} dB at most, not heard"
    return f"{label}: {loss:.1f} dB of loss cost {rise:.1f} dB of weak signals at {at}"


def _frequencies(spec: Spec) -> list[float]:
    """The band's edges, and the middle of each amateur band in it."""
    low, high = spec.band.lowest, spec.band.highest
    middles = [sum(bands.edges(name, spec.band.region)) / 2 for name in bands.NAMES]
    return sorted({low, high, *(f for f in middles if low < f < high)})
