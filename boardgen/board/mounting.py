"""Where the screws go, and so how large the board is.

They stand between two strips, at the corners and along a long edge. Where their heads find no room there, what stands
at the ends of the two strips moves aside; where that is not enough, those at the corners stand beside the strips, and
those along an edge in narrow strips of their own.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import accumulate
from typing import NamedTuple

from msgspec.structs import replace

from boardgen.board.cell_task import RoutedCell
from boardgen.board.check_assembly import HEAD_SLACK_NM
from boardgen.board.end_cells import studs_apart
from boardgen.board.layout_context import LayoutContext
from boardgen.board.rotated_footprint import hull, moved, rotated
from boardgen.board.rules import GRID_NM, GUARD_NM, VIA_HOLE_NM
from boardgen.board.strip_cells import StripCell
from boardgen.board.strip_rows import StripRow
from boardgen.board.strips import StripPlan, screw_strip
from boardgen.model.copper import PointNm

SCREW_HOLE_NM, SCREW_KEEPOUT_NM = 3_200_000, 6_200_000
"""Hole for M3 (ISO 273, fine), and the disc kept free for its head, nut or small washer (ISO 7092: 6 mm; recalled)."""
SCREW_IN_NM, SCREW_UP_NM = 3_200_000, 3_500_000
"""A screw's centre from the edge at the side, and from the upper and lower edge."""
MARGIN_NM, ROOMY_NM = 4_200_000, 15_240_000
"""The margin for screws beside the strips, and the strip width below which half of what is missing is added to it."""
_HEAD_NM = SCREW_KEEPOUT_NM // 2 - HEAD_SLACK_NM
"""From a screw's centre to a courtyard."""
HEADS_NM = 4_500_000
"""What the heads of the screws on either side take beside a part at the end of the outer strips."""
EDGE_SLACK_NM = 100_000
"""The margin beside the guard trace is so much wider than the house asks for."""
FEW_STRIPS = 4
"""Fewer strips have their screws beside them: between them they would stand too near each other."""
APART_NM = 150_000_000
"""Screws along an edge stand no farther apart than about this, so that the board does not bend (assumed)."""
LEAST_SCREW_COLUMNS = 3
"""Two guard traces with their vias find room in so many columns."""
REACH_NM = 15_000_000
"""Between the terminals of one row and the ports of the next: room to bend a stranded wire and to hold it (assumed)."""


class PlacedCell(NamedTuple):
    """A cell in its place on the board: its upper left corner, and whether its strip is the last of the row."""

    cell: StripCell
    routed: RoutedCell
    left: int
    top: int
    last: bool


LETTER_NM = 1_250_000
"""Beside the pads of a port, so that the letter of its pin stands there and not before the name below."""


class BoardSize(NamedTuple):
    """Width and height of the board, and the margin at the left of the strips, in nanometres."""

    width: int
    height: int
    margin: int


def placed_cells(context: LayoutContext, rows: list[StripRow], left: int, height: int) -> Iterator[PlacedCell]:
    """Every cell of the rows, the first strip of each row from `left`."""
    top = height
    for row in rows:
        for strip, right in zip(row.strips, row.lefts_nm, strict=True):
            y = top
            for cell, routed in strip.cells:
                yield PlacedCell(cell, routed, left + right, y, strip is row.strips[-1])
                y -= routed.rows * GRID_NM
        top -= row.height_nm + reach_nm(context)


def wide_margin_nm(context: LayoutContext, strips: Sequence[StripPlan]) -> int:
    """The margin with room for screws and the earth bar beside the outer ones of these strips."""
    most = 0
    for strip, side in ((strips[0], -1), (strips[-1], 1)):
        # what gave way to a screw between strips, where copper takes that place after all, stands nearer to this one
        outward = max(0, side * strip.port_aside, side * strip.entry_aside) * GRID_NM
        widest = max(context.widest_end_nm, entry_nm(context, strip)) + 2 * outward
        most = max(most, max(ROOMY_NM, widest + HEADS_NM) - (strip.columns or context.columns) * GRID_NM)
    return MARGIN_NM + most // 2


def margin_nm(context: LayoutContext, strips: Sequence[StripPlan]) -> int:
    """The margin beside these strips in one row: the narrow one where screws find room between them."""
    return (
        wide_margin_nm(context, strips)
        if _aside(context, strips, screw_gaps(context, strips)) is None
        else narrow_margin_nm(context)
    )


def narrow_margin_nm(context: LayoutContext) -> int:
    """The margin that the guard trace and its vias need to the edge of the board."""
    house = context.rules.house
    return max(GUARD_NM // 2 + house.copper_to_edge_nm, VIA_HOLE_NM // 2 + house.hole_to_edge_nm) + EDGE_SLACK_NM


def reach_nm(context: LayoutContext) -> int:
    """What is left free between two rows: a hand reaches studs from above, terminals from where their wires come."""
    return REACH_NM if context.has_terminals else 0


def bar_margin_nm(context: LayoutContext, margin: int) -> int:
    """The margin at the right, where a bar of 0V leads a surge from what joins earth to it down to the cable."""
    if not context.surge_to_cable:
        return margin
    return max(margin, context.rules.surge_nm - GUARD_NM // 2 + context.rules.house.copper_to_edge_nm + EDGE_SLACK_NM)


def row_width_nm(context: LayoutContext, strips: Sequence[StripPlan]) -> int:
    """How wide a board of these strips in one row is at most, before anything gives way to screws."""
    asked = [replace(strip, port_aside=0, entry_aside=0) for strip in strips]
    return _edges_nm(context, strips)[-1] + 2 * wide_margin_nm(context, asked)


def with_room_for_screws(
    context: LayoutContext, strips: Sequence[StripPlan], *, corners: bool = True
) -> list[StripPlan]:
    """The strips with their ends moved aside from the screws between them, or with narrow ones for screws between.

    Those at the `corners` stand between strips as well, or beside them.
    """
    found = list(strips)
    gaps = screw_gaps(context, strips)
    aside = _aside(context, strips, gaps if corners else gaps[1:-1])
    if aside is not None:
        for number, (port, entry) in aside.items():
            found[number] = replace(found[number], port_aside=port, entry_aside=entry)
        return found
    widest = max(context.ports_nm, context.tubes.wide_nm, context.lines_nm)
    missing = 2 * _HEAD_NM - (context.columns * GRID_NM - widest)
    columns = max(LEAST_SCREW_COLUMNS, math.ceil(missing / GRID_NM))
    for gap in reversed(gaps[1:-1]):
        found.insert(gap, screw_strip(strips[gap - 1], columns))
    return found


def screw_gaps(context: LayoutContext, strips: Sequence[StripPlan]) -> list[int]:
    """Before which strips screws stand: at the corners, and between as evenly as they come."""
    edges = _edges_nm(context, strips)
    count = math.ceil(row_width_nm(context, strips) / APART_NM) - 1
    wanted = [edges[-1] * number / (count + 1) for number in range(1, count + 1)]
    between = [min((abs(edges[gap] - at), gap) for gap in range(1, len(strips)))[1] for at in wanted]
    return [1, *between, len(strips) - 1]


def _edges_nm(context: LayoutContext, strips: Sequence[StripPlan]) -> list[int]:
    """The left edges of strips side by side, and the right edge of the last."""
    return [GRID_NM * at for at in accumulate((s.columns or context.columns for s in strips), initial=0)]


def _aside(
    context: LayoutContext, strips: Sequence[StripPlan], gaps: Sequence[int]
) -> dict[int, tuple[int, int]] | None:
    """By number of the strip how far right of its middle port and entry stand clear of the screws between strips.

    The letters of the ports too, unless that would bring the surge copper of neighbours together. None where that finds
    no room in a strip, or where one has a screw on either side and must give way to one of them.
    """
    if len(strips) < FEW_STRIPS:
        return None
    lettered = _clear_of_screws(context, strips, gaps, LETTER_NM)
    if lettered is not None and _surge_stays_apart(context, strips, lettered):
        return lettered
    return _clear_of_screws(context, strips, gaps, 0)


def _clear_of_screws(
    context: LayoutContext, strips: Sequence[StripPlan], gaps: Sequence[int], letter_nm: int
) -> dict[int, tuple[int, int]] | None:
    """The same with so much room for a letter beside the pads of a port."""
    tubes = context.tubes
    level = min(max(tubes.top_nm - SCREW_UP_NM, 0), _HEAD_NM)
    found: dict[int, tuple[int, int]] = {}
    for number, side in [(gap - 1, -1) for gap in gaps] + [(gap, 1) for gap in gaps]:
        half = (strips[number].columns or context.columns) * GRID_NM / 2
        port = _columns_aside(half - context.ports_nm / 2 - letter_nm, _HEAD_NM)
        tube = _columns_aside(half - tubes.wide_nm / 2, math.sqrt(_HEAD_NM**2 - level**2))
        entry = _columns_aside(half - entry_nm(context, strips[number]) / 2, _HEAD_NM)
        if port is None or tube is None or entry is None:
            return None
        ends = side * max(port, tube), side * entry
        if ends != found.setdefault(number, ends):
            return None
    return found


def _surge_stays_apart(
    context: LayoutContext, strips: Sequence[StripPlan], aside: Mapping[int, tuple[int, int]]
) -> bool:
    """Whether the copper from ports to tubes keeps the distance of a surge from strip to strip."""
    rules, reach = context.rules, context.tubes.reach_nm
    if not reach:
        return True
    most = rules.surge_nm / 2 + rules.surge_clearance_nm / 2 + reach
    room = [(strip.columns or context.columns) * GRID_NM / 2 - most for strip in strips]
    moved = [aside.get(number, (0, 0))[0] * GRID_NM for number in range(len(strips))]
    return all(
        moved[number] - moved[number + 1] <= room[number] + room[number + 1] for number in range(len(strips) - 1)
    )


def entry_nm(context: LayoutContext, strip: StripPlan) -> int:
    """How much of the width of a strip the parts at its lines take."""
    if strip.columns:
        context = replace(context, columns=strip.columns)
    ends = [context.footprints[part.component.part.footprint] for part in strip.lower[-1].parts] if strip.lower else []
    boxes = [hull(rotated(footprint, 0).courtyard) for footprint in ends]
    widest = max((right - left for left, _, right, _ in boxes), default=0)
    return widest + (len(ends) - 1) * studs_apart(context, ends) * GRID_NM if ends else 0


def _columns_aside(room_nm: float, wanted_nm: float) -> int | None:
    """By how many columns a part with so much room to the edge of its strip gives way; None where it has too little."""
    columns = max(0, math.ceil((wanted_nm - room_nm) / GRID_NM))
    return columns if columns == 0 or columns * GRID_NM <= room_nm else None


def mounting(context: LayoutContext, rows: list[StripRow], header_nm: int = 0) -> tuple[BoardSize, list[PointNm]]:
    """The board's size, and the centres of its screws: the first and the last are those of opposite corners.

    `header_nm` is the room at the left of the strips for the copper that joins two rows.
    """
    inner = max(row.width_nm for row in rows) + header_nm
    height = sum(row.height_nm for row in rows) + reach_nm(context) * (len(rows) - 1)
    lefts = rows[0].lefts_nm
    up = (SCREW_UP_NM, height - SCREW_UP_NM)
    margin = narrow_margin_nm(context)
    corners = [(margin + right, y) for right in (lefts[min(1, len(lefts) - 1)], lefts[-1]) for y in up]
    few = len(rows) > 1 or len(lefts) < FEW_STRIPS
    if few or not _are_free(context, rows, margin, height, corners):
        margin = max(wide_margin_nm(context, row.plans) for row in rows)
        right = inner + margin + bar_margin_nm(context, margin) - SCREW_IN_NM
        corners = [(x, y) for x in (SCREW_IN_NM, right) for y in up]
    size = BoardSize(inner + margin + bar_margin_nm(context, margin), height, margin)
    return size, [*corners[:2], *_along_edges(rows, margin + header_nm, up), *corners[2:]]


def _along_edges(rows: list[StripRow], left: int, up: tuple[int, int]) -> Iterator[PointNm]:
    """Screws at the lower edge under the last row, and at the upper one over the first."""
    for row, y in zip((rows[-1], rows[0]), up, strict=True):
        own = [number for number, plan in enumerate(row.plans) if plan.for_screws]
        for number in own or screw_gaps(row.context, row.plans)[1:-1]:
            half = row.strips[number].columns * GRID_NM // 2 if own else 0
            yield left + row.lefts_nm[number] + half, y


def _are_free(context: LayoutContext, rows: list[StripRow], left: int, height: int, places: list[PointNm]) -> bool:
    """Whether no part and no copper of the cells reaches under a screw's head."""
    reach = SCREW_KEEPOUT_NM // 2
    for placed in placed_cells(context, rows, left, height):
        for x, y in places:
            # from the upper left corner of the cell, downwards
            right, down = x - placed.left, placed.top - y
            wide, high = placed.cell.task.columns * GRID_NM, placed.routed.rows * GRID_NM
            near = -reach < right < wide + reach and -reach < down < high + reach
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
