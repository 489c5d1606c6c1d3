"""In which order parts are soldered, and how each stands."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from msgspec import Struct

from boardgen.kinds import KIND, kind_of
from boardgen.kinds.kind import Kind
from boardgen.model.copper import Board, PlacedPad, PlacedPart, PointNm
from boardgen.model.netlist import Component, Netlist
from boardgen.model.part import Footprint


class Stand(Struct, frozen=True):
    """A part on its place and how it stands there.

    `marked` is the hole that says which way round, None where either way will do. Of a part on end `bent` is the hole
    of its bent lead, and its body stands over the other one.
    """

    component: Component
    placed: PlacedPart
    pads: Mapping[str, PlacedPad]
    marked: PointNm | None = None
    bent: PointNm | None = None

    @property
    def ref(self) -> str:
        """Its designator."""
        return self.component.ref

    @property
    def middle(self) -> PointNm:
        """Of its body."""
        left, low, right, top = self.placed.body
        return (left + right) // 2, (low + top) // 2


class Step(Struct, frozen=True):
    """Parts of one kind that go in together, from left to right, and the height of the tallest.

    `on_end` ones stand on one lead. The height is `assumed` where no drawing gives it.
    """

    kind: Kind
    on_end: bool
    height_nm: int
    assumed: bool
    stands: tuple[Stand, ...]

    @property
    def title(self) -> str:
        """What goes in."""
        return f"{self.kind.assembly.title}{', on end' if self.on_end else ''}"


class Alike(NamedTuple):
    """What parts have in common that are told in one row."""

    part: str
    way_round: str


def steps(board: Board, netlist: Netlist, footprints: Mapping[str, Footprint]) -> tuple[Step, ...]:
    """Low parts first, so that each step lies flat on the bench when the board is turned over."""
    placed, pads = {part.ref: part for part in board.parts}, _pads(board)
    upright = {footprint.upright for footprint in footprints.values()}
    grouped: dict[tuple[str, bool], list[Stand]] = {}
    for component in netlist.components:
        ref = component.ref
        if component.fitted and ref in placed and not kind_of(component.part).assembly.in_the_box:
            on_end = placed[ref].footprint in upright
            stand = _stand(component, placed[ref], pads.get(ref, {}), on_end=on_end)
            grouped.setdefault((component.part.kind, on_end), []).append(stand)
    found = [_step(KIND[name], stands, on_end=on_end) for (name, on_end), stands in grouped.items()]
    return tuple(sorted(found, key=lambda s: (bool(s.kind.assembly.late_since), s.height_nm, s.kind.name, s.on_end)))


def _pads(board: Board) -> dict[str, dict[str, PlacedPad]]:
    found: dict[str, dict[str, PlacedPad]] = {}
    for pad in board.pads:
        found.setdefault(pad.ref, {})[pad.number] = pad
    return found


def _stand(component: Component, placed: PlacedPart, pads: Mapping[str, PlacedPad], *, on_end: bool) -> Stand:
    mark = kind_of(component.part).assembly.mark
    marked = pads[component.part.pins[mark.role]].at if mark else None
    left, low, right, top = placed.body
    outside = [pad.at for pad in pads.values() if not (left <= pad.at[0] <= right and low <= pad.at[1] <= top)]
    return Stand(component, placed, pads, marked, outside[0] if on_end and outside else None)


def _step(kind: Kind, stands: list[Stand], *, on_end: bool) -> Step:
    known = [stand.placed.height_nm for stand in stands if stand.placed.height_nm is not None]
    tallest = max(known, default=kind.assembly.assumed_height_nm)
    by_place = sorted(stands, key=lambda stand: (stand.middle[0], -stand.middle[1]))
    return Step(kind, on_end, tallest, not known, tuple(by_place))


def alike(step: Step) -> dict[Alike, tuple[Stand, ...]]:
    """Parts that look and stand alike, in the order of their places."""
    found: dict[Alike, tuple[Stand, ...]] = {}
    for stand in step.stands:
        row = Alike(stand.component.part.name, way_round(stand))
        found[row] = (*found.get(row, ()), stand)
    return found


def way_round(stand: Stand) -> str:
    """Which way the part stands, in words of the picture seen from the component side."""
    assembly, pins = kind_of(stand.component.part).assembly, stand.component.part.pins
    if stand.bent is not None:
        return _on_end(stand, stand.bent)
    if assembly.mark:
        number = pins[assembly.mark.role]
        where = towards(stand.middle, stand.pads[number].at)
        return f"{assembly.mark.on_part or f'pin {number} ({assembly.mark.meaning})'} towards the {where}"
    if assembly.starts:
        starts = [(words, stand.pads[pins[role]]) for role, words in assembly.starts]
        return "; ".join(f"{words} at pad {pad.number}, {towards(stand.middle, pad.at)}" for words, pad in starts)
    return assembly.way_round


def _on_end(stand: Stand, bent: PointNm) -> str:
    """Which end is up, and where the bent lead goes."""
    mark = kind_of(stand.component.part).assembly.mark
    where = f"bent lead into the hole towards the {towards(stand.middle, bent)}"
    if mark is None or stand.marked is None:
        return f"either end up; {where}"
    return f"{mark.on_part} {'up' if stand.marked == bent else 'down, at the board'}; {where}"


def towards(middle: PointNm, at: PointNm) -> str:
    """Where a pad lies from the middle of its part: the picture's top, bottom, left, right or a corner."""
    x, y = at[0] - middle[0], at[1] - middle[1]
    across = "left" if x < 0 else "right"
    along = "top" if y > 0 else "bottom"
    if abs(x) > 2.5 * abs(y):
        return across
    if abs(y) > 2.5 * abs(x):
        return along
    return f"{along} {across}"
