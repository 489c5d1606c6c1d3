"""Where the screws go, and so how wide the board is: between strips where there is room, else beside them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

from boardgen.board.cell_layout import GRID_NM
from boardgen.board.cell_task import FENCE_MM, Laid
from boardgen.board.check_assembly import HEAD_SLACK_NM
from boardgen.board.rotated_footprint import moved
from boardgen.board.routing_grid import VIA_HOLE_MM
from boardgen.board.strip_cells import CellJob, Context
from boardgen.board.strip_rows import Row
from boardgen.model.copper import PointNm

SCREW_HOLE_NM, SCREW_KEEP_NM = 3_200_000, 6_200_000
"""Hole for M3 (ISO 273, fine), and the disc kept free for its head, nut or small washer (ISO 7092: 6 mm; recalled)."""
SCREW_IN_NM, SCREW_UP_NM = 3_200_000, 3_500_000
"""A screw's centre from the edge at the side, and from the upper and lower edge."""
MARGIN_NM, ROOMY_NM = 4_200_000, 15_240_000
"""The margin for screws beside the strips, and the strip width below which half of what is missing is added to it."""
HEADS_NM = 4_500_000
"""What the heads of the screws on either side take beside a part at the end of the outer strips."""
EDGE_SLACK_NM = 100_000
"""The margin beside the fence is so much wider than the house asks for."""
FEW_STRIPS = 4
"""Fewer strips have their screws beside them: between them they would stand too near each other."""


class Placed(NamedTuple):
    """A cell in its place on the board: its upper left corner, and whether its strip is the last of the row."""

    cell: CellJob
    laid: Laid
    left: int
    top: int
    last: bool


class Size(NamedTuple):
    """Width and height of the board, and the margin beside the strips."""

    width: int
    height: int
    margin: int


def laid_places(context: Context, rows: list[Row], left: int, height: int) -> Iterator[Placed]:
    """Every cell of the rows, the first strip of each row from `left`."""
    top = height
    for row in rows:
        for number, stack in enumerate(row.stacks):
            y = top
            for cell, laid in stack.cells:
                last = number + 1 == len(row.stacks)
                yield Placed(cell, laid, left + number * context.columns * GRID_NM, y, last)
                y -= laid.rows * GRID_NM
        top -= row.height_nm


def wide_margin_nm(context: Context) -> int:
    """The margin with room for screws and the earth bar beside the strips."""
    return MARGIN_NM + max(0, max(ROOMY_NM, context.ends_nm + HEADS_NM) - context.columns * GRID_NM) // 2


def narrow_margin_nm(context: Context) -> int:
    """The margin that the fence and its vias need to the edge of the board."""
    house = context.rules.house
    fence, hole = round(FENCE_MM * 1e6), round(VIA_HOLE_MM * 1e6)
    return max(fence // 2 + house.copper_to_edge_nm, hole // 2 + house.hole_to_edge_nm) + EDGE_SLACK_NM


def mounting(context: Context, rows: list[Row], header: int = 0) -> tuple[Size, list[PointNm]]:
    """The board's size, and the centres of its screws."""
    inner = max(row.width_nm for row in rows) + header
    height = sum(row.height_nm for row in rows)
    pitch, strips = context.columns * GRID_NM, len(rows[0].stacks)
    up = (SCREW_UP_NM, height - SCREW_UP_NM)
    if len(rows) == 1 and strips >= FEW_STRIPS:
        margin = narrow_margin_nm(context)
        places = [(margin + number * pitch, y) for number in (1, strips - 1) for y in up]
        if _are_free(context, rows, margin, height, places):
            return Size(inner + 2 * margin, height, margin), places
    margin = wide_margin_nm(context)
    width = inner + 2 * margin
    return Size(width, height, margin), [(x, y) for x in (SCREW_IN_NM, width - SCREW_IN_NM) for y in up]


def _are_free(context: Context, rows: list[Row], left: int, height: int, places: list[PointNm]) -> bool:
    """Whether no part and no copper of the cells reaches under a screw's head."""
    reach = SCREW_KEEP_NM // 2
    for cell, laid, x0, top, _ in laid_places(context, rows, left, height):
        near = [
            (x - x0, y - top)
            for x, y in places
            if -reach < x - x0 < context.columns * GRID_NM + reach and -laid.rows * GRID_NM - reach < y - top < reach
        ]
        for x, y in near:
            for seat, (column, row, turn) in zip(cell.job.parts, laid.places, strict=True):
                for left_, low, right, high in seat.form(turn).courtyard:
                    box = moved((left_, low, right, high), column * GRID_NM, -row * GRID_NM)
                    gap = math.hypot(max(box[0] - x, x - box[2], 0), max(box[1] - y, y - box[3], 0))
                    if gap < reach - HEAD_SLACK_NM:
                        return False
            for drawn in laid.tracks:
                ends = [(c * GRID_NM, -r * GRID_NM) for c, r in (drawn.start, drawn.end)]
                if _from_line((x, y), ends[0], ends[1]) < reach + drawn.width_mm * 5e5:
                    return False
    return True


def _from_line(point: PointNm, start: tuple[float, float], end: tuple[float, float]) -> float:
    """Distance of a point from a piece of a line."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = dx * dx + dy * dy
    along = ((point[0] - start[0]) * dx + (point[1] - start[1]) * dy) / length if length else 0.0
    along = min(1.0, max(0.0, along))
    return math.hypot(point[0] - start[0] - along * dx, point[1] - start[1] - along * dy)
