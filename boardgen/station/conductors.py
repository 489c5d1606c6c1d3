"""Which conductor of a control cable carries what: pairs kept together, 0V on the last."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from boardgen.handbook.data_cable import PINS
from boardgen.station.wanted import Load

COLOURED = 8
"""Conductors of a cable whose colours are known."""
RETURN = "0V"


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A conductor: cable and position in it, both from 1, its pair, and its colour ("" where not known).

    In an eight-conductor cable the position is that in an eight-way jack.
    """

    cable: int
    position: int
    pair: int
    colour: str


@dataclass(frozen=True, slots=True)
class Conductor:
    """What a conductor carries. `what` is the text for the cable sheet, `net` the board's net, "" for a spare.

    `loads` are the loads it works, none for 0V or a spare; `output` is the output it belongs to where diodes sit in
    the box, else 0.
    """

    place: Place
    what: str
    net: str = ""
    loads: tuple[Load, ...] = ()
    output: int = 0

    @property
    def is_return(self) -> bool:
        """Whether it carries 0V."""
        return self.what == RETURN


@dataclass(frozen=True, slots=True)
class Line:
    """A line that wants a conductor. Lines with the same `group` share a pair where one is free."""

    what: str
    net: str
    loads: tuple[Load, ...]
    output: int = 0
    group: str = ""


def places(conductors: int, cables: int, order: str) -> tuple[Place, ...]:
    """Every conductor, pair by pair; eight in the colours of T568A or T568B, others by number only."""
    if conductors == COLOURED:
        pins = PINS[order]
        # pairs in the order in which their first pin comes
        pairs = list(dict.fromkeys(pin.pair for pin in pins))
        one = [(pin.number, pairs.index(pin.pair) + 1, pin.colour) for pin in pins]
    else:
        one = [(n, (n + 1) // 2, "") for n in range(1, conductors + 1)]
    ordered = sorted(one, key=lambda row: (row[1], row[0]))
    return tuple(Place(cable, *row) for cable in range(1, cables + 1) for row in ordered)


def assign(lines: Sequence[Line], returns: int, free: Sequence[Place]) -> tuple[Conductor, ...]:
    """Every conductor with what it carries, in the order of cables and positions.

    Returns take the last conductors of each cable in turn; lines of one group a pair, others what is left in order.
    Raises ValueError where there are too few.
    """
    if len(lines) + returns > len(free):
        message = f"{len(lines)} lines and {returns} returns need {len(lines) + returns} conductors, not {len(free)}"
        raise ValueError(message)
    kept = _return_places(returns, free)
    left = [place for place in free if place not in kept]
    found = [Conductor(place, RETURN, RETURN) for place in kept]
    groups: dict[str, list[Line]] = {}
    for n, line in enumerate(lines):
        groups.setdefault(line.group or f"alone {n}", []).append(line)
    # pairs first, while whole pairs are free
    for group in sorted(groups.values(), key=len, reverse=True):
        pair = _pair(left) if len(group) == 2 else None
        taken = pair or left[: len(group)]
        found += [
            Conductor(place, line.what, line.net, line.loads, line.output)
            for place, line in zip(taken, group, strict=True)
        ]
        left = [place for place in left if place not in taken]
    found += [Conductor(place, "spare") for place in left]
    return tuple(sorted(found, key=lambda c: (c.place.cable, c.place.position)))


def _return_places(returns: int, free: Sequence[Place]) -> tuple[Place, ...]:
    """The last conductors of each cable in turn, a pair at a time where a cable gets two."""
    by_cable: dict[int, list[Place]] = {}
    for place in free:
        by_cable.setdefault(place.cable, []).append(place)
    share = -(-returns // len(by_cable))
    turns = [place for cable in by_cable.values() for place in reversed(cable[-share:])]
    return tuple(turns[:returns]) if len(turns) >= returns else tuple(reversed(free))[:returns]


def _pair(left: Sequence[Place]) -> list[Place] | None:
    pairs: dict[tuple[int, int], list[Place]] = {}
    for place in left:
        pairs.setdefault((place.cable, place.pair), []).append(place)
    return next((pair for pair in pairs.values() if len(pair) == 2), None)


def at_jacks(
    lines: Sequence[Line], nets: Iterable[tuple[int, int, str]], free: Sequence[Place]
) -> tuple[Conductor, ...]:
    """The same where jacks settle it: `nets` are jack number, pin and net. A line without a pin is left out."""
    by_net = {line.net: line for line in lines}
    carried = {(jack, pin): net for jack, pin, net in nets}
    found = []
    for place in sorted(free, key=lambda p: (p.cable, p.position)):
        net = carried.get((place.cable, place.position), "")
        line = by_net.get(net)
        if net == RETURN:
            found.append(Conductor(place, RETURN, RETURN))
        elif line is not None:
            found.append(Conductor(place, line.what, line.net, line.loads, line.output))
        else:
            found.append(Conductor(place, "spare"))
    return tuple(found)
