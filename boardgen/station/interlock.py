"""Which outputs must never be on together, and how many a controller may have on at once.

Two outputs bar each other where both together would join what no direction asks for: two antennas of one box, heard as
soon as its feeder is through, or two feeders at the receiver. Outputs that some direction needs together do not.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import combinations
from typing import Final

from msgspec import Struct

from boardgen.station.steering import Output, Steering
from boardgen.station.wanted import Load

RELEASE_MS: Final = 20
"""Time that a relay with a diode across its coil takes to release, at most (assumed)."""


class Barred(Struct, frozen=True):
    """Two outputs that must never be on together, and what they would join: antennas of a box, or feeders."""

    outputs: tuple[int, int]
    joins: tuple[Load, ...]


def barred(steering: Steering) -> tuple[Barred, ...]:
    """Every pair of outputs that must never be on together, in order."""
    allowed = frozenset().union(*map(_parallel, steering.wanted.loads.values()))
    needed = {frozenset(pair) for d in steering.wanted.loads for pair in combinations(steering.on(d), 2)}
    found = []
    for one, other in combinations(steering.outputs, 2):
        pairs = _parallel({*one.works, *other.works}) - allowed
        if pairs and frozenset((one.number, other.number)) not in needed:
            joins = tuple(sorted({load for pair in pairs for load in pair}))
            found.append(Barred((one.number, other.number), joins))
    return tuple(found)


def _parallel(loads: Iterable[Load]) -> frozenset[frozenset[Load]]:
    """Pairs of loads that join two antennas of a box, or two feeders, while both are on."""
    found = [load for load in loads if load.kind != "feed"]
    return frozenset(
        frozenset((a, b))
        for a, b in combinations(sorted(found), 2)
        if a.kind == b.kind and (a.kind == "feeder" or a.box == b.box)
    )


def groups(steering: Steering) -> Mapping[str, tuple[Output, ...]]:
    """The outputs that bring antennas of each box through, and those of each feeder: at most one choice of each."""
    boxes = dict.fromkeys(load.box for load in steering.wanted.every if load.kind == "select")
    found = {}
    for box in boxes:
        own = tuple(o for o in steering.outputs if any(x.kind == "select" and x.box == box for x in o.works))
        if len(own) > 1:
            found[f"antennas of {box}"] = own
    for load in steering.wanted.every:
        if load.kind == "feeder":
            found[f"feeder of {load.box}"] = tuple(o for o in steering.outputs if load in o.works)
    return found


def most_at_once(steering: Steering) -> int:
    """The most outputs that any direction needs on at once."""
    return max(len(steering.on(direction)) for direction in steering.wanted.loads)
