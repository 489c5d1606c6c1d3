"""[[footprint]] tables to footprints, turned to the component side: the one place where a drawing is turned."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Annotated, Any, Final, Literal, TypeGuard

from msgspec import Struct

from boardgen.handbook import holes
from boardgen.model.figure import Standing
from boardgen.model.part import Footprint, Pad
from boardgen.tables.column import column
from boardgen.tables.fault import Faults
from boardgen.tables.shown import shown
from boardgen.tables.toml_table import ABSENT, WRONG_TYPE, Block, TomlTable, is_number, is_text

LEVEL: Final = "A"
"""Producibility level of holes and lands that no drawing states: the easiest to make and to solder by hand."""
WRONG_SIDE = "K011 wrong side"
View = Literal["top", "bottom"]
"""top: the component side. bottom: the solder side, as most makers of relays draw."""
Run = Literal["anticlockwise", "clockwise"]
_DRILL_STEP_NM = 50_000


class FootprintTable(Struct, frozen=True, kw_only=True):
    """[[footprint]]: pads and body of a part, in millimetres, y upwards."""

    key: Annotated[str, column("small letters")]
    description: Annotated[str, column("what stands in it")]
    view: Annotated[View, column("the side that its numbers are seen from")]
    drawn_from: Annotated[View | None, column("the side that the maker's drawing shows, where it is another")] = None
    standing: Annotated[Standing, column("how sure it is")]
    source: Annotated[str, column("where it is from")]
    pads_mm: Annotated[
        tuple[object, ...], column('["1", x, y] or ["1", x, y, hole, width, height] for each pad', "mm")
    ] = ()
    lead_mm: Annotated[tuple[float, ...], column("diameter of the leads", "millimetres", least=0, counts=(1,))] = ()
    hole_mm: Annotated[tuple[float, ...], column("finished hole of all pads", "millimetres", least=0, counts=(1,))] = ()
    land_mm: Annotated[
        tuple[float, ...], column("size of all lands, or width and height", "millimetres", least=0, counts=(1, 2))
    ] = ()
    body_mm: Annotated[
        tuple[float, ...], column("width, depth and height of the body", "millimetres", least=0, counts=(2, 3))
    ] = ()
    body_centre_mm: Annotated[tuple[float, ...], column("its centre", "millimetres", counts=(2,))] = (0.0, 0.0)
    numbering: Annotated[Run | None, column("which way the pad numbers go round, seen from the component side")] = None
    gap: Annotated[str, column("what is missing")] = ""
    upright: Annotated[str, column("key of the pattern of the part standing on end")] = ""
    drawn_by: Annotated[Literal["maker", "ourselves"], column("whether a maker's drawing can confirm it")] = "maker"


def build_footprint(block: Block, faults: Faults) -> Footprint:
    """The footprint of a block; its faults are added, and what is wrong is left out of it."""
    read = TomlTable(block, FootprintTable, faults)
    drawn = read.values
    pads = _pads(read)
    if not pads and not drawn.gap:
        read.fault(ABSENT, "pads_mm is absent", 'write pads_mm = [["1", 0, 0], ...], or say why not in gap')
    _check_run(read, pads)
    body_x_nm, body_y_nm, body_height_nm, *_ = [*map(_nm, drawn.body_mm), None, None, None]
    centre_x_nm, centre_y_nm = map(_nm, drawn.body_centre_mm)
    return Footprint(
        drawn.key,
        drawn.description,
        pads,
        body_x_nm,
        body_y_nm,
        body_height_nm,
        *turned_nm(centre_x_nm, centre_y_nm, drawn.view),
        drawn.drawn_from or drawn.view,
        drawn.standing,
        drawn.source,
        drawn.gap,
        drawn.upright,
        drawn.drawn_by == "ourselves",
    )


def _pads(read: TomlTable[FootprintTable]) -> tuple[Pad, ...]:
    drawn = read.values
    hole_nm = _common_hole_nm(drawn)
    land = [_nm(size) for size in drawn.land_mm]
    pads: dict[str, Pad] = {}
    for row in drawn.pads_mm:
        if not _is_pad(row):
            wanted = 'wanted is ["1", x, y] or ["1", x, y, hole, width, height] in millimetres'
            read.fault(WRONG_TYPE, f"a pad is {shown(row)}", wanted, "pads_mm")
            continue
        number, (x_nm, y_nm, *own) = row[0], [_nm(size) for size in row[1:]]
        if number in pads:
            read.fault("K006 used twice", f"pad {shown(number)} stands twice", "a pad has one place", "pads_mm")
        hole, (width, height) = (own[0], own[1:]) if own else (hole_nm, _land_nm(hole_nm, land))
        pads[number] = Pad(number, *turned_nm(x_nm, y_nm, drawn.view), hole, width, height)
    return tuple(pads.values())


def _is_pad(row: object) -> TypeGuard[list[Any]]:
    if not (isinstance(row, list) and len(row) in (3, 6) and is_text(row[0]) and row[0]):
        return False
    return all(is_number(item) for item in row[1:]) and all(size >= 0 for size in row[3:])


def _common_hole_nm(drawn: FootprintTable) -> int | None:
    """The hole that is written, else the one the lead needs, rounded up to a drill, else None."""
    if drawn.hole_mm:
        return _nm(drawn.hole_mm[0])
    if not drawn.lead_mm or drawn.lead_mm[0] == 0:
        return None
    least_nm = round(holes.hole_m(drawn.lead_mm[0] / 1e3, LEVEL) * 1e9)
    return math.ceil(least_nm / _DRILL_STEP_NM) * _DRILL_STEP_NM


def _land_nm(hole_nm: int | None, land: list[int]) -> tuple[int, int]:
    """Width and height of a land: as written, else by rule; 0 where the hole is not known."""
    if land:
        return land[0], land[-1]
    if not hole_nm:
        return 0, 0
    side_nm = round(holes.land_m(hole_nm / 1e9, LEVEL) * 1e9)
    return side_nm, side_nm


def _check_run(read: TomlTable[FootprintTable], pads: tuple[Pad, ...]) -> None:
    stated = read.values.numbering
    run = run_of_numbers(pads)
    if stated and run and run != stated:
        found = f"the pads run {run} seen from the component side"
        read.fault(WRONG_SIDE, found, f"numbering says {stated}: check view and the signs of x", "numbering")


def _nm(size_mm: float) -> int:
    return round(size_mm * 1e6)


def turned_nm(x_nm: int, y_nm: int, view: View) -> tuple[int, int]:
    """The point as seen from the component side, y upwards.

    The sheet is turned over about the x axis: pin 1 keeps its place, the row below it comes to lie above.
    """
    return (x_nm, -y_nm) if view == "bottom" else (x_nm, y_nm)


def run_of_numbers(pads: Sequence[Pad]) -> str:
    """Which way the pad numbers go round: "anticlockwise", "clockwise", or "" where they do not go round.

    A pattern entered from the wrong side, or mirrored left to right, goes round the wrong way.
    """
    if not all(pad.number.isascii() and pad.number.isdigit() for pad in pads):
        return ""
    ring = sorted(pads, key=lambda pad: int(pad.number))
    twice_area = sum(a.x_nm * b.y_nm - b.x_nm * a.y_nm for a, b in zip(ring, ring[1:] + ring[:1], strict=True))
    if twice_area == 0:
        return ""
    return "anticlockwise" if twice_area > 0 else "clockwise"
