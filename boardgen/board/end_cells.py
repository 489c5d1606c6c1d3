"""The cells of the earth and of the entry: their parts and wide copper at given places, as rows and columns."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import NamedTuple

from msgspec.structs import replace

from boardgen.board.cell_task import EARTH, ZERO, CellTask, LocalNet, PartTask, Segment, on_grid
from boardgen.board.layout_context import LayoutContext
from boardgen.board.rotated_footprint import COURTYARD_NM, hull, rotated
from boardgen.board.rules import GRID_NM, GUARD_NM, SURGE_SLACK_NM
from boardgen.model.part import Footprint

ENTRY_ROWS, ENTRY_PAD_ROW, SCREW_ROWS = 17, 9, 12
"""Height of the entry's cell, row of the terminals' pads, and rows at its foot that the screws take."""
FEW_LINES, ROWS_OF_A_LINE = 2, 2
"""So many lines come to their terminals in any order; each of more takes so many rows."""
STUD_FIRST, STUD_STEP = 9, 17
"""Row of the first stud of the entry, and rows from one to the next."""
RAIL_FOOT, BAR_FOOT = 14, 13
"""Rows from the foot of the board up to the middle of the rail of 0V, and to the end of its bar: above the screws."""
STUD_ROW, STUD_COLUMNS = 10, 7
"""Where the stud of the earth lies: rows from the upper edge of its cell, columns from the right edge of the strip."""
STUD_FOOT = 10
"""Rows below the stud where nothing joins it to 0V."""
JOIN_ROW = 21
"""Row of the upper pin of what joins earth to 0V, below the stud."""
GUARD_HEAD = 4
"""Rows of guard trace below what joins earth to 0V."""
JOIN_COLUMNS, LEAST_EARTH_COLUMN = 2, 5
"""Of what joins them level: its pin on 0V from the right edge of the strip, and the least column of that on earth."""
JOIN_FOOT = 7
"""Rows below it in which the pair comes round its pins."""
STUD_NM = 5_000_000
"""Half the width of a stud's land."""


def earth(context: LayoutContext, task: CellTask) -> CellTask:
    """The stud below the earth track at the edge of the board, then what joins earth to 0V, all in surge copper."""
    columns, wide = context.columns, context.rules.surge_nm
    column = columns - STUD_COLUMNS
    parts, segments = [], []
    rows, guard_row = STUD_ROW + STUD_FOOT + GUARD_HEAD, STUD_ROW + STUD_FOOT
    for part in task.parts:
        if len(part.footprint.pads) == 1:
            parts.append(replace(part, fixed=(column, STUD_ROW, 0)))
            track_row = -context.tubes.foot(to_the_side=True)
            ends = on_grid(column, track_row), on_grid(column, STUD_ROW)
            segments.append(Segment(1, *ends, wide, EARTH, surge=True))
            continue
        joined = _joined_level(context, part) or _joined_upright(context, part)
        parts.append(joined.part)
        segments += joined.segments
        rows, guard_row = joined.rows, joined.row
    # the upper end of the right guard trace: one piece on both sides, however short the cell below is
    top, foot_end = on_grid(columns, guard_row), on_grid(columns, rows)
    segments += [Segment(side, top, foot_end, GUARD_NM, ZERO) for side in (0, 1)]
    # clear of the hole of a pin beside the upper end
    vias = ((on_grid(columns, rows - GUARD_HEAD // 2), ZERO),)
    return replace(task, rows=rows, parts=tuple(parts), segments=tuple(segments), vias=vias, guard_traces=(True, False))


class _Joined(NamedTuple):
    """What joins earth to 0V in its place, its copper, the row of its pin on 0V, and the rows of the cell."""

    part: PartTask
    segments: tuple[Segment, ...]
    row: int
    rows: int


def _joined_level(context: LayoutContext, part: PartTask) -> _Joined | None:
    """Level below the stud with its pin on 0V at the right; None where it is too long, and no way round it is left."""
    rotation, wide = 0 if part.nets[0] == EARTH else 2, context.rules.surge_nm
    footprint = rotated(part.footprint, rotation)
    pads = dict(zip(part.nets, footprint.pads, strict=True))
    span = round((pads[ZERO].x_nm - pads[EARTH].x_nm) / GRID_NM)
    column = context.columns - JOIN_COLUMNS
    if column - span < LEAST_EARTH_COLUMN or pads[ZERO].y_nm != pads[EARTH].y_nm:
        return None
    _, low, _, top = hull(footprint.courtyard)
    keep = context.rules.surge_clearance_nm + SURGE_SLACK_NM + pads[ZERO].width_nm // 2
    row = STUD_ROW + math.ceil((STUD_NM + max(top + COURTYARD_NM, keep)) / GRID_NM)
    stud, earth = on_grid(context.columns - STUD_COLUMNS, STUD_ROW), on_grid(column - span, row)
    slant = min(abs(earth[0] - stud[0]), earth[1] - stud[1])
    bend = stud[0] + (slant if earth[0] > stud[0] else -slant), stud[1] + slant
    ends = [pair for pair in pairwise((stud, bend, earth)) if pair[0] != pair[1]]
    segments = (
        *(Segment(1, *pair, wide, EARTH, surge=True) for pair in ends),
        # to the guard trace, whose upper end this is; the round end stays on the board
        Segment(1, on_grid(column - 1, row), on_grid(column, row), wide, ZERO, surge=True),
    )
    rows = row + max(JOIN_FOOT, math.ceil(-low / GRID_NM))
    at = column - round(pads[ZERO].x_nm / GRID_NM), row, rotation
    return _Joined(replace(part, fixed=at), segments, row, rows)


def _joined_upright(context: LayoutContext, part: PartTask) -> _Joined:
    """Upright below the stud, its pin on 0V at the foot."""
    column, wide = context.columns - STUD_COLUMNS, context.rules.surge_nm
    rotation = 3 if part.nets[0] == EARTH else 1
    pads = {net: pad for pad, net in zip(rotated(part.footprint, rotation).pads, part.nets, strict=True)}
    origin = JOIN_ROW + round(pads[EARTH].y_nm / GRID_NM)
    foot_nm = origin * GRID_NM - pads[ZERO].y_nm
    foot = round(foot_nm / GRID_NM)
    segments = (
        Segment(1, on_grid(column, STUD_ROW), on_grid(column, JOIN_ROW), wide, EARTH, surge=True),
        Segment(1, on_grid(column, foot), on_grid(context.columns - 2, foot), wide, ZERO, surge=True),
    )
    rows = -(-foot_nm // GRID_NM) + GUARD_HEAD
    return _Joined(replace(part, fixed=(column, origin, rotation)), segments, rows - GUARD_HEAD, rows)


def entry(context: LayoutContext, task: CellTask, aside: int) -> CellTask:
    """Terminals at the foot, so many columns right of the middle; the guard trace stops short of the screws.

    A surge's 0V comes to each.
    """
    if not task.parts:
        return _with_rail(context, replace(task, rows=ENTRY_ROWS, guard_to=SCREW_ROWS))
    if len(task.parts) == 1 and len(task.parts[0].footprint.pads) > 1:
        part = task.parts[0]
        left, _, right, _ = rotated(part.footprint, 0).body
        column = round(context.columns / 2 + aside - (left + right) / 2 / GRID_NM)
        # more than two lines come in another order than that of the pads, and change places above them
        more = 0 if len(task.above) <= FEW_LINES else ROWS_OF_A_LINE * len(task.above)
        part = replace(part, fixed=(column, ENTRY_PAD_ROW + more, 0))
        return _with_rail(context, replace(task, rows=ENTRY_ROWS + more, parts=(part,), guard_to=SCREW_ROWS))
    return _studs(context, task, aside)


def _studs(context: LayoutContext, task: CellTask, aside: int) -> CellTask:
    """Studs side by side where the strip is wide enough, that on 0V at the right; else one above the other."""
    middle, parts = context.columns // 2 + aside, task.parts
    apart = studs_apart(context, [part.footprint for part in parts])
    if apart:
        order = sorted(parts, key=lambda part: part.nets == (ZERO,))
        left = middle - apart * (len(parts) - 1) // 2
        places = [(left + apart * order.index(part), STUD_FIRST) for part in parts]
    else:
        places = [(middle, STUD_FIRST + STUD_STEP * number) for number in range(len(parts))]
    rows = STUD_FIRST + max(row for _, row in places)
    segments = []
    for part, (column, row) in zip(parts, places, strict=True):
        if context.surge_to_cable and part.nets == (ZERO,):
            # to the bar at the edge of the board, as level as the screw beside it allows
            level = min(row, rows - BAR_FOOT)
            ends = on_grid(column, level), on_grid(context.columns, level)
            segments.append(Segment(1, *ends, context.rules.surge_nm, ZERO, surge=True))
    fixed = tuple(replace(part, fixed=(*place, 0)) for part, place in zip(parts, places, strict=True))
    return replace(task, rows=rows, parts=fixed, segments=tuple(segments), guard_to=SCREW_ROWS)


def studs_apart(context: LayoutContext, studs: Sequence[Footprint]) -> int:
    """Columns from one stud of an entry to the next beside it; 0 where they do not stand side by side."""
    boxes = [hull(rotated(stud, 0).courtyard) for stud in studs]
    step = max(math.ceil((right - left) / GRID_NM) for left, _, right, _ in boxes)
    room = context.columns * GRID_NM - GUARD_NM
    return step if len(studs) > 1 and step * len(studs) * GRID_NM <= room else 0


def _with_rail(context: LayoutContext, task: CellTask) -> CellTask:
    """Where earth is joined to 0V, an entry with the rail on top that leads a surge to the screws on 0V."""
    if not context.surge_to_cable or not context.has_terminals:
        return task
    row = task.rows - RAIL_FOOT
    wide = context.rules.surge_nm
    rail = [Segment(0, on_grid(0, row), on_grid(task.columns, row), wide, ZERO, surge=True)]
    for part in task.parts:
        column, foot, rotation = part.fixed or (0, 0, 0)
        pads = [pad.x_nm + column * GRID_NM for pad in part.rotated(rotation).pads]
        at = dict(zip(pads, part.nets, strict=True))
        for x in (x for x, net in at.items() if part.solid and net == ZERO):
            sides = (0,) if _cuts_off(task, at, x) else (0, 1)
            ends = (x, row * GRID_NM), (x, foot * GRID_NM)
            rail += [Segment(side, *ends, wide, ZERO, surge=True) for side in sides]
    return replace(task, segments=tuple(rail))


def _cuts_off(task: CellTask, pads: Mapping[int, LocalNet | None], x: int) -> bool:
    """Whether upright copper there lies between a line and the pad it goes to."""
    lines = [(pin.column * GRID_NM, pad) for pin in task.above for pad, net in pads.items() if net == pin.net]
    return any(min(line) <= x <= max(line) for line in lines)
