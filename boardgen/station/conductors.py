"""Which conductor of a control cable carries what: pairs kept together, 0V on the last."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from boardgen.sizing.cable_places import Place, taken

if TYPE_CHECKING:
    from boardgen.station.wanted import Load

RETURN = "0V"
COIL_SUPPLY = "coil supply"
"""What carries plus to the coils of a box whose lines are taken to 0V."""


class Conductor(Struct, frozen=True):
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

    @property
    def is_coil_supply(self) -> bool:
        """Whether it carries plus to coils whose lines are taken to 0V."""
        return self.what == COIL_SUPPLY


class Line(Struct, frozen=True):
    """A line that wants a conductor. Lines with the same `group` share a pair where one is free."""

    what: str
    net: str
    loads: tuple[Load, ...]
    output: int = 0
    group: str = ""


def assign(lines: Sequence[Line], returns: int, free: Sequence[Place]) -> tuple[Conductor, ...]:
    """Every conductor with what it carries, in the order of cables and positions. Raises ValueError as `taken` does."""
    mine, kept = taken([line.group for line in lines], returns, free)
    found = [Conductor(p, x.what, x.net, x.loads, x.output) for p, x in zip(mine, lines, strict=True)]
    found += [Conductor(place, RETURN, RETURN) for place in kept]
    found += [Conductor(place, "spare") for place in free if place not in (*mine, *kept)]
    return tuple(sorted(found, key=lambda c: (c.place.cable, c.place.position)))


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
