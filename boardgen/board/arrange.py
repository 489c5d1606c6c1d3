"""Chooses the strip width and the sharing of cells that make the board small."""

from __future__ import annotations

import math
from collections.abc import Mapping

from msgspec import Struct

from boardgen.board.alike import distinct
from boardgen.board.assemble import assemble
from boardgen.board.cell_layout import GRID_NM, NoRoomError, TooTallError, earth_nm
from boardgen.board.mounting import FEW_STRIPS, mounting, narrow_margin_nm, wide_margin_nm
from boardgen.board.placement import FEW_TRIALS, pack
from boardgen.board.port_cell import ends_nm, tubes
from boardgen.board.rules import Rules
from boardgen.board.strip_cells import Context, cell_jobs, pad_nets
from boardgen.board.strip_rows import Row, lay_row
from boardgen.board.strips import StripPlan, across_board, net_kinds, plan
from boardgen.model.copper import Board
from boardgen.model.netlist import Netlist
from boardgen.model.part import Footprint
from boardgen.stages import STRIP_STAGES

COLUMNS = (22, 24, 26, 28, 32, 36, 44, 52)
"""Widths of a strip that are tried, in columns of 0.635 mm: 13.97 to 33.02 mm, for the largest core."""
PATH = tuple(stage.name for stage in STRIP_STAGES if stage.in_series)
Way = tuple[tuple[str, ...], bool]
WAYS: tuple[Way, ...] = ((), True), (PATH, True)
"""Stages whose parts share one cell, so that small ones fill the room beside large ones; guards across the rails."""
SMALL = frozenset(stage.name for stage in STRIP_STAGES if stage.small_parts)
"""The stages for whose sake cells are shared: without them sharing saves nothing and costs most time."""
LAST_WAY: Way = ((), False)
"""What is tried where none of the others finds room: it takes more of it."""
WORSE = 1.08
"""No wider strips are tried after one whose estimate is so many times the best, unless nothing else fits."""
ROUTED = 2
"""So many arrangements are drawn, the most promising first; the smallest is kept."""
GAIN = 0.96
"""A further one is drawn only where its estimate is so many times the smallest so far, or less."""


class _Plan(Struct, frozen=True):
    """One way to share cells at one strip width, and the area that it promises."""

    area: int
    context: Context
    strips: list[StripPlan]


def arrange(netlist: Netlist, footprints: Mapping[str, Footprint], rules: Rules, pour: bool = True) -> Board:
    """The smallest board that a strip width of the list gives. Raises NoRoomError where none does."""
    fed = any(component.subject.stage in SMALL for component in netlist.components)
    try:
        context, rows = _smallest(_plans(netlist, footprints, rules, WAYS if fed else WAYS[:1], WORSE))
    except NoRoomError:
        context, rows = _smallest(_plans(netlist, footprints, rules, (WAYS[0], LAST_WAY), math.inf, thorough=True))
    return assemble(context, rows, pour)


def _plans(
    netlist: Netlist,
    footprints: Mapping[str, Footprint],
    rules: Rules,
    ways: tuple[Way, ...],
    worse: float,
    *,
    thorough: bool = False,
) -> list[_Plan]:
    """What may be drawn, the most promising first."""
    kinds = net_kinds(netlist)
    rails = across_board(netlist, kinds)
    pads = pad_nets(netlist, footprints)
    at_ports = tubes(netlist, footprints)
    ends = ends_nm(netlist, footprints)
    found: list[_Plan] = []
    for together, across in ways:
        strips = plan(netlist, together)
        of_each: list[StripPlan] = []
        for columns in COLUMNS:
            if columns < at_ports.least_columns or columns * GRID_NM < ends:
                continue
            context = Context(netlist, footprints, kinds, pads, rules, columns, rails, across, thorough, at_ports, ends)
            of_each = of_each or distinct(context, strips)
            height = estimate(context, of_each)
            if height is None:
                continue
            found.append(_Plan(_area(context, len(strips), height), context, strips))
            # wider strips gain no more once the area grows
            if found[-1].area > worse * min(each.area for each in found):
                break
    return sorted(found, key=lambda each: each.area)


def _smallest(plans: list[_Plan]) -> tuple[Context, list[Row]]:
    """The rows of the smallest board among the first plans. Raises NoRoomError where none finds room."""
    best: tuple[int, Context, list[Row]] | None = None
    failed, drawn = NoRoomError("no strip width"), 0
    for each in plans:
        if drawn == ROUTED or (best is not None and each.area > GAIN * best[0]):
            break
        try:
            rows = _rows(each.context, each.strips, 1 << 62 if best is None else best[0])
        except TooTallError:
            drawn += 1
            continue
        except NoRoomError as error:
            failed = error
            continue
        drawn += 1
        size, _ = mounting(each.context, rows)
        if best is None or size.width * size.height < best[0]:
            best = size.width * size.height, each.context, rows
    if best is None:
        raise failed
    return best[1], best[2]


def _rows(context: Context, strips: list[StripPlan], area: int) -> list[Row]:
    """All strips laid out. Raises NoRoomError; TooTallError where the board is no smaller than that area."""
    parts = folded(context, strips)
    wide = _area(context, max(len(part) for part in parts), 1)
    left = (area - 1) // wide
    rows = []
    for part in parts:
        rows.append(lay_row(context, part, left))
        left -= rows[-1].stacks[0].rows
    return rows


def folded(context: Context, strips: list[StripPlan]) -> list[list[StripPlan]]:
    """The strips in one row, or in two where one would be longer than the board house's stated length.

    The lower row, with the output, is the longer one: the earth bar then passes beside the upper. Changeovers stay in
    one row, each beside the next.
    """
    if any(strip.onward != strip.resting for strip in strips):
        return [strips]
    if len(strips) * context.columns * GRID_NM <= context.rules.house.longest_nm or len(strips) < 4:
        return [strips]
    upper = (len(strips) - 1) // 2
    return [strips[:upper], strips[upper:]]


def _area(context: Context, strips: int, rows: int) -> int:
    """About the square nanometres of a board of one row."""
    margin = narrow_margin_nm(context) if strips >= FEW_STRIPS else wide_margin_nm(context)
    return (strips * context.columns * GRID_NM + 2 * margin) * rows * GRID_NM


def estimate(context: Context, strips: list[StripPlan]) -> int | None:
    """The least rows that the strips may take, from packing alone; None where a part is too wide."""
    heights: list[tuple[int, int, int]] = []
    for strip in strips:
        rows = []
        for cell in cell_jobs(context, strip):
            if not cell.job.parts:
                rows.append(cell.job.rows)
                continue
            packed = pack(cell.job, 0, earth_nm(cell.job), FEW_TRIALS)
            if not packed:
                return None
            rows.append(packed[0][0])
        bus = len(strip.upper)
        heights.append((sum(rows[:bus]), sum(rows[bus:-1]), rows[-1]))
    return sum(max(row[part] for row in heights) for part in range(3))
