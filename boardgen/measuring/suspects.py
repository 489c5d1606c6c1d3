"""The faults that explain best all that was measured: each planted alone, predicted in every state, and ranked.

Every common fault of every part is one copy of the board, as the fault table has them, and all copies are solved
together, point by point. A fault explains what was measured where its waves lie as near as those of sound boards do,
and a person would tell no reading of a meter from what it makes of it. The cost is that of one board at each point
times the number of faults, and of one change of the network for each fault and state that a meter reads.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from msgspec import Struct

from boardgen.commissioning.bench import Bench
from boardgen.commissioning.faults import board_faults, strip_faults
from boardgen.commissioning.radio import fault_draws
from boardgen.kinds.fault import Fault
from boardgen.measuring.ohms import Key, Meter, MeterReading, Point, telling, under_faults, unexplained
from boardgen.measuring.overlay import START, Curve, Yardstick
from boardgen.measuring.plan import possible
from boardgen.model.selection import SelectionState
from boardgen.rf.network import Network
from boardgen.rf.unknowns import drawn, unknowns
from boardgen.rf_network.device_models import Array

SOUND: Final = 0.6
"""Up to this distance a board is as sound ones are, and a fault explains what was measured: twice that of drawn boards
whose instrument is off by 0.05 dB and a degree. Our judgement, held by a test."""
REST: Final = 0.1
"""A fault also explains what leaves no more than this share of the distance. Assumed."""
SHOWN: Final = 3
LOOKED_AT: Final = 6
"""So many of the nearest are held against boards of their own kind."""
PLAINLY_NEAR: Final = 3
"""So many beside, of the least squares: where a fault makes tolerances tell more, boards with it lie far from it by the
covariance of sound ones."""
DRAWN: Final = 50
"""Boards of such a kind."""
SAME_DIGITS: Final = 3
"""Waves that are equal to so many digits are no different to any instrument."""


class Suspect(Struct, frozen=True):
    """Faults that nothing measured tells apart, and how far the sweeps lie from them; `of` from none.

    `unexplained` is how far readings of a meter lie from them in decades, at most one a reading; 0 explains all.
    """

    faults: tuple[Fault, ...]
    distance: float
    of: float
    unexplained: float = 0.0

    @property
    def explains(self) -> bool:
        """Whether it is near enough to every sweep and reading."""
        return self.unexplained == 0.0 and self.distance <= max(SOUND, REST * self.of)

    @property
    def title(self) -> str:
        """The faults in words."""
        return "; or ".join(f"{', '.join(fault.refs)}: {fault.name}" for fault in self.faults)


class Next(Struct, frozen=True):
    """The sweep that tells the first two suspects apart best, and by how many decibels at which frequency."""

    ports: tuple[str, ...]
    selected: str
    differs_db: float
    at_hz: float


class Found(Struct, frozen=True):
    """How far the sweeps lie from a sound board, the faults from the likeliest on, and what to measure next.

    `suspects` is empty for a board as sound as others. `next` is a point for a meter, or else a sweep.
    """

    distance: float
    suspects: tuple[Suspect, ...] = ()
    next: Next | Point | None = None

    @property
    def is_sound(self) -> bool:
        """Whether nothing is wrong that what was measured shows."""
        return not self.suspects


def suspects(
    bench: Bench,
    network: Network,
    curves: Sequence[Curve],
    meter: Meter | None = None,
    read: Sequence[MeterReading] = (),
) -> Found:
    """What all sweeps together say of the board, and all that a meter read."""
    yardstick = Yardstick(curves, [c.built for c in curves], [c.stated for c in curves]) if curves else None
    away = float(yardstick.distances([c.stated for c in curves])) if yardstick else 0.0
    if away <= SOUND and all(one.inside for one in read):
        return Found(away)
    faults = every_fault(bench)
    keys = frozenset(one.point.key for one in read)
    changed = under_faults(meter, faults, keys) if meter else tuple({} for _ in faults)
    left = [unexplained(read, each) for each in changed]
    waves = [planted(bench, network, faults, c.sweep.selected, c.to, c.source, c.frequency_hz) for c in curves]
    alike: dict[object, list[int]] = {}
    for n, readings in enumerate(changed):
        ohms = tuple((key, f"{readings[key].middle:.{SAME_DIGITS}g}") for key in sorted(readings))
        alike.setdefault((ohms, tuple(wave[n].round(SAME_DIGITS).tobytes() for wave in waves)), []).append(n)
    distances = yardstick.distances(waves) if yardstick else np.zeros(len(faults))
    off = [np.abs(wave - curve.wave) ** 2 for wave, curve in zip(waves, curves, strict=True)]
    squares = sum((each.sum(axis=-1) for each in off), np.zeros(len(faults)))
    by_boards = sorted(alike.values(), key=lambda same: (left[same[0]], float(distances[same[0]])))[:LOOKED_AT]
    plainly = sorted(alike.values(), key=lambda same: (left[same[0]], float(squares[same[0]])))[:PLAINLY_NEAR]
    nearest = by_boards + [same for same in plainly if same not in by_boards]
    found = [
        Suspect(
            tuple(faults[n] for n in same),
            _from_own_kind(bench, network, faults[same[0]], curves) if curves else 0.0,
            away,
            left[same[0]],
        )
        for same in nearest
    ]
    ranked = sorted(found, key=lambda suspect: (suspect.unexplained, suspect.distance))[:SHOWN]
    return Found(away, tuple(ranked), _next_of_all(bench, network, ranked, curves, meter, keys))


def _next_of_all(
    bench: Bench,
    network: Network,
    ranked: Sequence[Suspect],
    curves: Sequence[Curve],
    meter: Meter | None,
    read: frozenset[Key],
) -> Next | Point | None:
    """A point for a meter that tells the first two apart, or else a sweep; nothing where one alone explains all."""
    explaining = [suspect.faults[0] for suspect in ranked if suspect.explains]
    if len(explaining) < 2:
        return None
    if meter:
        points = [point for point in meter.all_points if point.key not in read]
        first, other = under_faults(meter, explaining[:2], frozenset(point.key for point in points))
        point = next(telling(points, first, other), None)
        if point:
            return point
    return _next(bench, network, explaining[0], explaining[1], curves)


def _from_own_kind(bench: Bench, network: Network, fault: Fault, curves: Sequence[Curve]) -> float:
    """How far what was measured lies from boards that have the fault, with what such boards differ by."""
    open_ones = unknowns(network)
    shares = np.vstack(
        [[one.stated for one in open_ones], np.random.default_rng(START).random((DRAWN, len(open_ones)))]
    )
    boards = drawn(open_ones, shares)
    count = len(shares)
    found = [np.empty((count, curve.frequency_hz.size), dtype=complex) for curve in curves]
    for n, hertz in enumerate(curves[0].frequency_hz.tolist()):
        own = {key: np.full(count, values[1]) for key, values in fault_draws(bench, network, [fault], hertz).items()}
        for selected in dict.fromkeys(curve.sweep.selected for curve in curves):
            operated = _operated(network, fault, selected)
            solution = network.solve(operated, network.state(operated, np.array([hertz]), {**boards, **own}, count))
            for curve, waves in zip(curves, found, strict=True):
                if curve.sweep.selected == selected:
                    waves[:, n] = solution.s((curve.to, "differential"), (curve.source, "differential"))[:, 0]
    stated = [waves[0] for waves in found]
    return float(Yardstick(curves, [waves[1:] for waves in found], stated).distances(stated))


def every_fault(bench: Bench) -> tuple[Fault, ...]:
    """The common faults of every part of the board."""
    return (*(f for strip in bench.request.antennas for f in strip_faults(bench, strip)), *board_faults(bench))


def planted(
    bench: Bench, network: Network, faults: Sequence[Fault], selected: str, to: str, source: str, points: Array
) -> Array:
    """An S parameter with each fault planted alone, (faults, points)."""
    found = np.empty((len(faults), points.size), dtype=complex)
    in_state: dict[SelectionState, list[int]] = {}
    for number, fault in enumerate(faults):
        in_state.setdefault(_operated(network, fault, selected), []).append(number)
    for operated, numbers in in_state.items():
        alike, boards = [faults[number] for number in numbers], len(numbers) + 1
        for n, hertz in enumerate(points.tolist()):
            draws, at = fault_draws(bench, network, alike, hertz), np.array([hertz])
            solution = network.solve(operated, network.state(operated, at, draws, boards))
            wave = solution.s((to, "differential"), (source, "differential"))
            found[numbers, n] = np.broadcast_to(wave, (boards, 1))[1:, 0]
    return found


def _operated(network: Network, fault: Fault, selected: str) -> SelectionState:
    """The relays that are pulled in while that antenna is selected, on a board with the fault.

    One of two in series that stays behind is a state that the network has not: there both are taken to work.
    """
    operated = network.operated(selected or None)
    left = operated - frozenset(fault.refs) if fault.at_rest else operated
    return left if all(network.own(owner, left) in network.strips for owner in network.owners) else operated


def _next(bench: Bench, network: Network, first: Fault, other: Fault, curves: Sequence[Curve]) -> Next | None:
    """The sweep, of those that were not made, in which the two differ most."""
    made = {(c.sweep.selected, frozenset((c.to, c.source))) for c in curves}
    band = bench.request.spec.band
    points = curves[0].frequency_hz[[0, -1]] if curves else np.array([band.lowest, band.highest])
    found: list[Next] = []
    for selected, to, source in possible(network):
        if (selected, frozenset((to, source))) in made:
            continue
        waves = np.abs(planted(bench, network, (first, other), selected, to, source, points))
        apart = np.abs(20 * np.log10(np.maximum(waves[0], 1e-4) / np.maximum(waves[1], 1e-4)))
        at = int(apart.argmax())
        ports = (to,) if to == source else (source, to)
        found.append(Next(ports, selected, float(apart[at]), float(points[at])))
    return max(found, key=lambda one: one.differs_db, default=None)
