"""In which order parts are soldered, and which way round each stands."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from boardgen.kinds import KIND, kind_of
from boardgen.kinds.kind import Kind
from boardgen.model.copper import Board, PlacedPad, PlacedPart, PointNm
from boardgen.model.netlist import Component, Netlist


class Step(Struct, frozen=True):
    """Parts of one kind that go in together, and the height of the tallest; `assumed` where no drawing gives it."""

    kind: Kind
    height_nm: int
    assumed: bool
    parts: tuple[Component, ...]


def steps(board: Board, netlist: Netlist) -> tuple[Step, ...]:
    """Low parts first, so that each step lies flat on the bench when the board is turned over."""
    height = {s.ref: s.height_nm for s in board.parts}
    grouped: dict[str, list[Component]] = {}
    for component in netlist.components:
        if component.fitted and component.ref in height and not kind_of(component.part).assembly.in_the_box:
            grouped.setdefault(component.part.kind, []).append(component)
    found = [_step(KIND[name], tuple(parts), height) for name, parts in grouped.items()]
    return tuple(sorted(found, key=lambda step: (step.kind.assembly.is_late, step.height_nm, step.kind.name)))


def _step(kind: Kind, parts: tuple[Component, ...], height: Mapping[str, int | None]) -> Step:
    known = [value for part in parts if (value := height[part.ref]) is not None]
    tallest = max(known, default=kind.assembly.assumed_height_nm)
    return Step(kind, tallest, not known, parts)


def way_round(board: Board, component: Component) -> str:
    """Which way the part stands, in words of the picture seen from the component side."""
    assembly, ref = kind_of(component.part).assembly, component.ref
    pads = {pad.number: pad for pad in board.pads if pad.ref == ref}
    placed = next(part for part in board.parts if part.ref == ref)
    if assembly.mark:
        number = component.part.pins[assembly.mark.role]
        where = _towards(placed, pads[number])
        return f"{assembly.mark.on_part or f'pin {number} ({assembly.mark.meaning})'} towards the {where}"
    if assembly.starts:
        starts = [(words, pads[component.part.pins[role]]) for role, words in assembly.starts]
        return "; ".join(f"{words} at pad {pad.number}, {_towards(placed, pad)}" for words, pad in starts)
    return assembly.way_round


def mark(board: Board, component: Component) -> PointNm | None:
    """Where the pad lies that says which way round the part stands."""
    found = kind_of(component.part).assembly.mark
    if found is None:
        return None
    number = component.part.pins[found.role]
    return next((pad.at for pad in board.pads if (pad.ref, pad.number) == (component.ref, number)), None)


def _towards(placed: PlacedPart, pad: PlacedPad) -> str:
    """Where a pad lies from the middle of its part: the picture's top, bottom, left, right or a corner."""
    left, low, right, top = placed.body
    x, y = pad.at[0] - (left + right) / 2, pad.at[1] - (low + top) / 2
    across = "left" if x < 0 else "right"
    along = "top" if y > 0 else "bottom"
    if abs(x) > 2.5 * abs(y):
        return across
    if abs(y) > 2.5 * abs(x):
        return along
    return f"{along} {across}"
