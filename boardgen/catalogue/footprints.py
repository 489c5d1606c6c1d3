"""[[footprint]] tables to footprints, turned to the component side."""

from __future__ import annotations

import math
from typing import Any, Final, TypeGuard

from boardgen.catalogue.blocks import Block
from boardgen.catalogue.cells import Cells, is_number, is_text
from boardgen.catalogue.faults import Faults
from boardgen.catalogue.view import View, run_of_numbers, turned_nm
from boardgen.handbook import holes
from boardgen.model.part import Footprint, Pad
from boardgen.tables.shown import shown

LEVEL: Final = "A"
"""Producibility level of holes and lands that no drawing states: the easiest to make and to solder by hand."""

_KEYS = (
    "key", "description", "view", "drawn_from", "standing", "source", "pads_mm", "lead_mm", "hole_mm", "land_mm",
    "body_mm", "body_centre_mm", "numbering", "gap", "upright",
)  # fmt: skip
_VIEWS = ("top", "bottom")
_RUNS = ("anticlockwise", "clockwise")
_DRILL_STEP_NM = 50_000


def build_footprint(block: Block, faults: Faults) -> Footprint:
    """The footprint of a block; its faults are added, and what is wrong is left out of it."""
    cells = Cells(block, block.table, block.name, faults)
    cells.only(_KEYS)
    view: View = "bottom" if cells.choice("view", _VIEWS) == "bottom" else "top"
    gap = cells.text("gap")
    body = [_nm(size) for size in cells.numbers("body_mm", (2, 3))]
    centre_x_nm, centre_y_nm = [_nm(at) for at in cells.numbers("body_centre_mm", (2,), least=-math.inf)] or [0, 0]
    pads = _pads(cells, view)
    if not pads and not gap:
        cells.fault("K004 absent key", "pads_mm is absent", 'write pads_mm = [["1", 0, 0], ...], or say why not in gap')
    _check_run(cells, pads)
    body_x_nm, body_y_nm, body_height_nm, *_ = [*body, None, None, None]
    return Footprint(
        cells.text("key", needed=True),
        cells.text("description", needed=True),
        pads,
        body_x_nm,
        body_y_nm,
        body_height_nm,
        *turned_nm(centre_x_nm, centre_y_nm, view),
        cells.choice("drawn_from", _VIEWS, default=view),
        cells.standing(),
        cells.text("source", needed=True),
        gap,
        cells.text("upright"),
    )


def _pads(cells: Cells, view: View) -> tuple[Pad, ...]:
    rows = cells.table.get("pads_mm", [])
    hole_nm = _common_hole_nm(cells)
    land = [_nm(size) for size in cells.numbers("land_mm", (1, 2))]
    pads: dict[str, Pad] = {}
    for row in rows if isinstance(rows, list) else [rows]:
        if not _is_pad(row):
            wanted = 'wanted is ["1", x, y] or ["1", x, y, hole, width, height] in millimetres'
            cells.fault("K003 wrong type", f"a pad is {shown(row)}", wanted, "pads_mm")
            continue
        number, (x_nm, y_nm, *own) = row[0], [_nm(size) for size in row[1:]]
        if number in pads:
            cells.fault("K006 used twice", f"pad {shown(number)} stands twice", "a pad has one place", "pads_mm")
        hole, (width, height) = (own[0], own[1:]) if own else (hole_nm, _land_nm(hole_nm, land))
        pads[number] = Pad(number, *turned_nm(x_nm, y_nm, view), hole, width, height)
    return tuple(pads.values())


def _is_pad(row: object) -> TypeGuard[list[Any]]:
    if not (isinstance(row, list) and len(row) in (3, 6) and is_text(row[0]) and row[0]):
        return False
    return all(is_number(item) for item in row[1:]) and all(size >= 0 for size in row[3:])


def _common_hole_nm(cells: Cells) -> int | None:
    """The hole that is written, else the one the lead needs, rounded up to a drill, else None."""
    hole, lead = cells.numbers("hole_mm", (1,)), cells.numbers("lead_mm", (1,))
    if hole:
        return _nm(hole[0])
    if not lead or lead[0] == 0:
        return None
    least_nm = round(holes.hole_m(lead[0] / 1e3, LEVEL) * 1e9)
    return math.ceil(least_nm / _DRILL_STEP_NM) * _DRILL_STEP_NM


def _land_nm(hole_nm: int | None, land: list[int]) -> tuple[int, int]:
    """Width and height of a land: as written, else by rule; 0 where the hole is not known."""
    if land:
        return land[0], land[-1]
    if not hole_nm:
        return 0, 0
    side_nm = round(holes.land_m(hole_nm / 1e9, LEVEL) * 1e9)
    return side_nm, side_nm


def _check_run(cells: Cells, pads: tuple[Pad, ...]) -> None:
    stated = cells.choice("numbering", _RUNS, default="")
    run = run_of_numbers(pads)
    if stated and run and run != stated:
        found = f"the pads run {run} seen from the component side"
        cells.fault("K011 wrong side", found, f"numbering says {stated}: check view and the signs of x", "numbering")


def _nm(size_mm: float) -> int:
    return round(size_mm * 1e6)
