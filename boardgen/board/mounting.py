"""Where the screws go, and so how wide the board is: between strips where there is room, else beside them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

from boardgen.board.cell_task import RoutedCell
from boardgen.board.check_assembly import HEAD_SLACK_NM
from boardgen.board.rotated_footprint import moved
from boardgen.board.rules import GRID_NM, GUARD_NM, VIA_HOLE_NM
from boardgen.board.strip_cells import LayoutContext, StripCell
from boardgen.board.strip_rows import StripRow
from boardgen.model.copper import PointNm

SCREW_HOLE_NM, SCREW_KEEPOUT_NM = 3_200_000, 6_200_000
"""Hole for M3 (ISO 273, fine), and the disc kept free for its head, nut or small washer (ISO 7092: 6 mm; recalled)."""
SCREW_IN_NM, SCREW_UP_NM = 3_200_000, 3_500_000
"""A screw's centre from the edge at the side, and from the upper and lower edge."""
MARGIN_NM, ROOMY_NM = 4_200_000, 15_240_000
"""The margin for screws beside the strips, and the strip width below which half of what is missing is added to it."""
HEADS_NM = 4_500_000
"""What the heads of the screws on either side take beside a part at the end of the outer strips."""
EDGE_SLACK_NM = 100_000
"""The margin beside the guard trace is so much wider than the house asks for."""
FEW_STRIPS = 4
"""Fewer strips have their screws beside them: between them they would stand too near each other."""


class PlacedCell(NamedTuple):
    """A cell in its place on the board: its upper left corner, and whether its strip is the last of the row."""

    cell: StripCell
    routed: RoutedCell
    left: int
    top: int
    last: bool


class BoardSize(NamedTuple):
    """Width and height of the board, and the margin beside the strips, in nanometres."""

    width: int
    height: int
    margin: int


def placed_cells(context: LayoutContext, rows: list[StripRow], left: int, height: int) -> Iterator[PlacedCell]:
    """Every cell of the rows, the first strip of each row from `left`."""
    top = height
    for row in rows:
        for number, strip in enumerate(row.strips):
            y = top
            for cell, routed in strip.cells:
                last = number + 1 == len(row.strips)
                yield PlacedCell(cell, routed, left + number * context.columns * GRID_NM, y, last)
                y -= routed.rows * GRID_NM
        top -= row.height_nm


def wide_margin_nm(context: LayoutContext) -> int:
    """The margin with room for screws and the earth bar beside the strips."""
    return MARGIN_NM + max(0, max(ROOMY_NM, context.widest_end_nm + HEADS_NM) - context.columns * GRID_NM) // 2


def narrow_margin_nm(context: LayoutContext) -> int:
    """The margin that the guard trace and its vias need to the edge of the board."""
    house = context.rules.house
    return max(GUARD_NM // 2 + house.copper_to_edge_nm, VIA_HOLE_NM // 2 + house.hole_to_edge_nm) + EDGE_SLACK_NM


def mounting(context: LayoutContext, rows: list[StripRow], header_nm: int = 0) -> tuple[BoardSize, list[PointNm]]:
    """The board's size, and the centres of its screws.

    `header_nm` is the room at the left of the strips for the copper that joins two rows.
    """
    inner = max(row.width_nm for row in rows) + header_nm
    height = sum(row.height_nm for row in rows)
    pitch, strips = context.columns * GRID_NM, len(rows[0].strips)
    up = (SCREW_UP_NM, height - SCREW_UP_NM)
    if len(rows) == 1 and strips >= FEW_STRIPS:
        margin = narrow_margin_nm(context)
        places = [(margin + number * pitch, y) for number in (1, strips - 1) for y in up]
        if _are_free(context, rows, margin, height, places):
            return BoardSize(inner + 2 * margin, height, margin), places
    margin = wide_margin_nm(context)
    width = inner + 2 * margin
    return BoardSize(width, height, margin), [(x, y) for x in (SCREW_IN_NM, width - SCREW_IN_NM) for y in up]


def _are_free(context: LayoutContext, rows: list[StripRow], left: int, height: int, places: list[PointNm]) -> bool:
    """Whether no part and no copper of the cells reaches under a screw's head."""
    reach, pitch = SCREW_KEEPOUT_NM // 2, context.columns * GRID_NM
    for placed in placed_cells(context, rows, left, height):
        for x, y in places:
            # from the upper left corner of the cell, downwards
            right, down = x - placed.left, placed.top - y
            near = -reach < right < pitch + reach and -reach < down < placed.routed.rows * GRID_NM + reach
            if near and not _is_free(placed, (right, down), reach):
                return False
    return True


def _is_free(placed: PlacedCell, screw: PointNm, reach: int) -> bool:
    """Whether a cell has nothing that near to a screw."""
    (x, y), routed = screw, placed.routed
    for part, (column, row, rotation) in zip(placed.cell.task.parts, routed.places, strict=True):
        for box in part.rotated(rotation).courtyard:
            left, low, right, high = moved(box, column * GRID_NM, -row * GRID_NM)
            if math.hypot(max(left - x, x - right, 0), max(low + y, -y - high, 0)) < reach - HEAD_SLACK_NM:
                return False
    return all(
        _from_line(screw, segment.start, segment.end) >= reach + segment.width_nm / 2 for segment in routed.segments
    )


def _from_line(point: PointNm, start: PointNm, end: PointNm) -> float:
    """Distance of a point from a piece of a line."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = dx * dx + dy * dy
    along = ((point[0] - start[0]) * dx + (point[1] - start[1]) * dy) / length if length else 0.0
    along = min(1.0, max(0.0, along))
    return math.hypot(point[0] - start[0] - along * dx, point[1] - start[1] - along * dy)
