"""Which loads share an output where there are too few for one a load: the fewest outputs that serve every direction.

In an idle box, whose feeder is not through, antennas may be selected or not: nobody hears them. So each direction has
loads that must be on and loads that may be. An output is of use to a direction where all its loads are among these.
That an output works load x for direction d and load y for direction e asks that x may be on in e, and y in d; and what
agrees two by two agrees altogether. So the fewest outputs are the fewest colours of a graph whose points are the pairs
(direction, load wanted) and whose edges are what does not agree.

The colouring is by branch and bound on the point whose neighbours have most colours already. Source: D. Brelaz, New
methods to color the vertices of a graph, Communications of the ACM 22 (1979) 251-256, recalled. Cost: exponential at
worst; a clique as large as the colouring ends it at once, as in all stations tried, and MOST_STEPS ends it anyway.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from msgspec import Struct

from boardgen.station.wanted import Load, Wanted

MOST_STEPS: Final = 20_000
"""Points coloured before the best colouring found so far is taken, which may then have a colour too many."""


class SharedOutput(Struct, frozen=True):
    """What an output works, and the directions for which it is on."""

    works: frozenset[Load]
    directions: tuple[str, ...]


def fewest_outputs(wanted: Wanted) -> tuple[SharedOutput, ...]:
    """The outputs, in the order in which directions need them; where equally many do, each load has only one output.

    A load with one output needs no diode.
    """
    alike: dict[frozenset[Load], list[str]] = {}
    for direction, loads in wanted.loads.items():
        alike.setdefault(loads, []).append(direction)
    first = [directions[0] for directions in alike.values()]
    pairs = [(n, load) for n, direction in enumerate(first) for load in sorted(wanted.loads[direction])]
    may = [wanted.loads[direction] | wanted.indifferent(direction) for direction in first]
    apart = [sum(1 << m for m, (e, y) in enumerate(pairs) if x not in may[e] or y not in may[d]) for d, x in pairs]
    by_load = _by_load(pairs, apart)
    by_pair = by_load if max(by_load) + 1 == _clique(apart) else colouring(apart)
    colours = by_pair if max(by_pair) < max(by_load) else by_load
    found = []
    for colour in dict.fromkeys(colours):
        own = [pair for pair, c in zip(pairs, colours, strict=True) if c == colour]
        on = {n for n, _ in own}
        directions = tuple(d for n, ds in enumerate(alike.values()) if n in on for d in ds)
        found.append(SharedOutput(frozenset(load for _, load in own), directions))
    return tuple(found)


def _by_load(pairs: Sequence[tuple[int, Load]], apart: Sequence[int]) -> list[int]:
    """A colouring of the pairs in which all of one load have one colour."""
    loads = sorted({load for _, load in pairs})
    number = {load: n for n, load in enumerate(loads)}
    merged = [0] * len(loads)
    for (_, load), edges in zip(pairs, apart, strict=True):
        for other in _members(edges):
            merged[number[load]] |= 1 << number[pairs[other][1]]
    colours = colouring(merged)
    return [colours[number[load]] for _, load in pairs]


def colouring(edges: Sequence[int]) -> list[int]:
    """A colour from 0 for each point, the fewest there can be unless MOST_STEPS ends the search.

    `edges` has the neighbours of each point as bits of a number.
    """
    least = _clique(edges)
    best: list[int] = []
    steps = 0

    def go_on(colours: list[int], used: int) -> bool:
        """Whether the search is over."""
        nonlocal best, steps
        left = [n for n, colour in enumerate(colours) if colour < 0]
        if not left:
            best = list(colours)
            return used == least
        near = {n: {colours[m] for m in _members(edges[n]) if colours[m] >= 0} for n in left}
        point = min(left, key=lambda n: (-len(near[n]), -edges[n].bit_count(), n))
        for colour in range(used + 1):
            if best and max(used, colour + 1) >= max(best) + 1:
                break
            if colour not in near[point]:
                steps += 1
                colours[point] = colour
                if go_on(colours, max(used, colour + 1)) or (best and steps > MOST_STEPS):
                    return True
                colours[point] = -1
        return False

    go_on([-1] * len(edges), 0)
    return best


def _clique(edges: Sequence[int]) -> int:
    """The size of a large group of points that are all neighbours, each begun at another point."""
    most = 0
    for start in range(len(edges)):
        size, left = 1, edges[start]
        while left:
            point = max(_members(left), key=lambda n: ((edges[n] & left).bit_count(), -n))
            left &= edges[point]
            size += 1
        most = max(most, size)
    return most


def _members(bits: int) -> Iterable[int]:
    """The numbers of the bits that are set."""
    while bits:
        low = bits & -bits
        yield low.bit_length() - 1
        bits ^= low
