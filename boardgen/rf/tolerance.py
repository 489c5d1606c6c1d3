"""Many boards with parts drawn from their tolerances: yield against the targets, and bands over frequency."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np
from msgspec import Struct

from boardgen.rf.network import Network
from boardgen.rf.quantities import QUANTITIES, Quantity, judged_at, readings
from boardgen.rf.unknowns import drawn, unknowns
from boardgen.rf_network.device_models import Array
from boardgen.spec.keys import Spec
from boardgen.spec.values import Target

START: Final = 20
"""Starts the draws: the same boards are drawn every time."""
CHUNK: Final = 20
"""Boards solved at once: more do not fit the cache."""
POINTS: Final = 101
LOW, MIDDLE, HIGH = 5.0, 50.0, 95.0


class Band(Struct, frozen=True):
    """A quantity at its worst state and port: 5 %, middle and 95 % of the boards at each frequency."""

    quantity: str
    low: Array
    middle: Array
    high: Array


class Yield(Struct, frozen=True):
    """Share of the boards that meet one target, and the worst figure of the boards at 5, 50 and 95 %.

    `each` is (boards,): the worst figure of every board.
    """

    quantity: str
    target: str
    wanted: float
    to_hz: float | None
    share: float | None
    worst: tuple[float, float, float]
    each: Array


class Tolerance(Struct, frozen=True):
    """What became of so many boards. `together` is the share that meet every judged target at once."""

    boards: int
    frequency_hz: Array
    bands: tuple[Band, ...]
    yields: tuple[Yield, ...]
    together: float


def tolerance(
    spec: Spec, network: Network, boards: int, frequency_hz: Array | None = None, *, strays: bool = False
) -> Tolerance:
    """Draws that many boards, each unknown evenly from its range, and judges them (Monte Carlo).

    The generator starts at START, so that the same boards are drawn every time; CHUNK boards are solved at once.
    Strays that are assumed keep their stated value, unless `strays` draws them from their assumed range too.
    """
    points = _points(spec) if frequency_hz is None else frequency_hz
    worst: dict[str, list[Array]] = {name: [] for name in QUANTITIES}
    for chunk in _chunks(network, boards, points, strays):
        for name, values in chunk.items():
            worst[name].append(values)
    whole = {name: np.concatenate(values) for name, values in worst.items() if values}
    bands = tuple(_band(name, values) for name, values in whole.items())
    targets = dict(spec.targets)
    judged = [q for q in QUANTITIES.values() if q.target and q.name in whole]
    passes = [_passes(spec, q, targets[q.target], whole[q.name], points) for q in judged]
    yields = tuple(
        _yield(spec, q, targets[q.target], whole[q.name], points, passed)
        for q, passed in zip(judged, passes, strict=True)
    )
    counted = [passed for passed in passes if passed is not None]
    together = float(np.logical_and.reduce(counted).mean()) if counted else 1.0
    return Tolerance(boards, points, bands, yields, together)


def _points(spec: Spec) -> Array:
    wanted = [f for _, t in spec.targets if (f := t.to_hz) and spec.band.lowest < f < spec.band.highest]
    return np.unique([*np.geomspace(spec.band.lowest, spec.band.highest, POINTS), *wanted])


def _chunks(network: Network, boards: int, points: Array, strays: bool) -> Iterator[dict[str, Array]]:
    """The worst figure over states and ports of each quantity, (boards, points), chunk by chunk."""
    random = np.random.default_rng(START)
    open_ones = [one for one in unknowns(network) if strays or not one.assumed]
    for start in range(0, boards, CHUNK):
        count = min(CHUNK, boards - start)
        shares = random.random((count, len(open_ones)))
        blocks = network.blocks(points, drawn(open_ones, shares), count)
        found: dict[str, Array] = {}
        for reading in readings(network, blocks):
            if not judged_at(network, reading.quantity, reading.port):
                continue
            worse = np.minimum if QUANTITIES[reading.quantity].larger_is_better else np.maximum
            before = found.get(reading.quantity)
            found[reading.quantity] = reading.values if before is None else worse(before, reading.values)
        yield found


def _band(name: str, values: Array) -> Band:
    low, middle, high = np.percentile(values, (LOW, MIDDLE, HIGH), axis=0)
    return Band(name, low, middle, high)


def _inside(spec: Spec, target: Target, points: Array) -> Array:
    top = min(spec.band.highest, target.to_hz or spec.band.highest)
    result: Array = points <= top * (1 + 1e-12)
    return result


def _passes(spec: Spec, quantity: Quantity, target: Target, values: Array, points: Array) -> Array | None:
    """Which boards meet the target; None where it is not judged."""
    inside = _inside(spec, target, points)
    if not inside.any():
        return None
    sign = 1 if quantity.larger_is_better else -1
    result: Array = np.all(sign * (values[:, inside] - target.value) >= 0, axis=1)
    return result


def _yield(spec: Spec, quantity: Quantity, target: Target, values: Array, points: Array, passed: Array | None) -> Yield:
    bare = (quantity.name, quantity.target, target.value, target.to_hz)
    if passed is None:
        return Yield(*bare, None, (0.0, 0.0, 0.0), np.zeros(0))
    inside = values[:, _inside(spec, target, points)]
    each = inside.min(axis=1) if quantity.larger_is_better else inside.max(axis=1)
    low, middle, high = (float(v) for v in np.percentile(each, (LOW, MIDDLE, HIGH)))
    return Yield(*bare, float(passed.mean()), (low, middle, high), each)
