"""Chooses the strip width and the sharing of cells that make the board small.

Algorithm: a list of strip widths, each with and without stages sharing a cell, is ranked by an estimate from placement
alone; the few most promising are routed, and the smallest is kept and squeezed. Cost: one placement with few trials for
each cell of the list, and at most ROUTED boards routed.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from msgspec import Struct

from boardgen.board.assemble import assemble
from boardgen.board.mounting import (
    FEW_STRIPS,
    bar_margin_nm,
    mounting,
    narrow_margin_nm,
    row_width_nm,
    wide_margin_nm,
    with_screw_strips,
)
from boardgen.board.placement import FEW_TRIALS, arrangements
from boardgen.board.port_cell import tubes, widest_end_nm
from boardgen.board.router import NoRoomError, TooTallError
from boardgen.board.rules import GRID_NM, Rules
from boardgen.board.strip_cells import LayoutContext, cell_tasks, pad_nets
from boardgen.board.strip_rows import StripRow, distinct, lay_out_row
from boardgen.board.strips import StripPlan, bus_nets, has_terminals, net_classes, plan_strips, surge_goes_on
from boardgen.model.copper import Board
from boardgen.model.netlist import Netlist
from boardgen.model.part import Footprint
from boardgen.stages import STRIP_STAGES

COLUMNS = (22, 24, 26, 28, 32, 36, 44, 52)
"""Widths of a strip that are tried, in columns of 0.635 mm: 13.97 to 33.02 mm, for the largest core."""
PATH = tuple(stage.name for stage in STRIP_STAGES if stage.in_series)
"""The stages that may share one cell."""
Sharing = tuple[tuple[str, ...], bool]
SHARINGS: tuple[Sharing, ...] = ((), True), (PATH, True)
"""Stages whose parts share one cell, so that small ones fill the room beside large ones; guards across the bus."""
SMALL = frozenset(stage.name for stage in STRIP_STAGES if stage.small_parts)
"""The stages for whose sake cells are shared: without them sharing saves nothing and costs most time."""
LAST_SHARING: Sharing = ((), False)
"""What is tried where none of the others finds room: it takes more of it."""
WORSE = 1.08
"""No wider strips are tried after one whose estimate is so many times the best, unless nothing else fits."""
ROUTED = 2
"""So many arrangements are drawn, the most promising first; the smallest is kept."""
GAIN = 0.96
"""A further one is drawn only where its estimate is so many times the smallest so far, or less."""
NO_LIMIT_NM2 = 1 << 62
"""More than the area of any board."""


class _Candidate(Struct, frozen=True):
    """One way to share cells at one strip width, and the area that it promises."""

    area_nm2: int
    context: LayoutContext
    strips: list[StripPlan]


def smallest_board(netlist: Netlist, footprints: Mapping[str, Footprint], rules: Rules, pour: bool = True) -> Board:
    """The smallest board that a strip width of the list gives.

    Parameters
    ----------
    netlist, footprints, rules : what is laid out, and what it is drawn with
    pour : whether the 0V copper between the tracks is filled in

    Raises
    ------
    NoRoomError where no strip width gives one

    """
    fed = any(component.subject.stage in SMALL for component in netlist.components)
    try:
        sharings = SHARINGS if fed else SHARINGS[:1]
        context, rows = _smallest(_candidates(netlist, footprints, rules, sharings, WORSE))
    except NoRoomError:
        sharings = SHARINGS[0], LAST_SHARING
        context, rows = _smallest(_candidates(netlist, footprints, rules, sharings, math.inf, thorough=True))
    return assemble(context, rows, pour)


def _candidates(
    netlist: Netlist,
    footprints: Mapping[str, Footprint],
    rules: Rules,
    sharings: tuple[Sharing, ...],
    worse: float,
    *,
    thorough: bool = False,
) -> list[_Candidate]:
    """What may be drawn, the most promising first."""
    classes = net_classes(netlist)
    bus, pads = bus_nets(netlist, classes), pad_nets(netlist, footprints)
    at_ports, widest_end = tubes(netlist, footprints), widest_end_nm(netlist, footprints)
    found: list[_Candidate] = []
    for shared, line_guards_on_bus in sharings:
        strips = plan_strips(netlist, shared)
        of_each: list[StripPlan] = []
        for columns in COLUMNS:
            if columns < at_ports.least_columns or columns * GRID_NM < widest_end:
                continue
            context = LayoutContext(
                netlist=netlist,
                footprints=footprints,
                net_class=classes,
                pads=pads,
                rules=rules,
                columns=columns,
                bus=bus,
                line_guards_on_bus=line_guards_on_bus,
                thorough=thorough,
                tubes=at_ports,
                widest_end_nm=widest_end,
                head_nm=max(widest_end, at_ports.wide_nm),
                surge_to_cable=surge_goes_on(netlist),
                has_terminals=has_terminals(netlist),
            )
            of_each = of_each or distinct(context, strips)
            height = _least_rows(context, of_each)
            if height is None:
                continue
            area = _area_nm2(context, len(strips), len(strips) * columns, height)
            found.append(_Candidate(area, context, strips))
            # wider strips gain no more once the area grows
            if found[-1].area_nm2 > worse * min(each.area_nm2 for each in found):
                break
    return sorted(found, key=lambda each: each.area_nm2)


def _smallest(candidates: list[_Candidate]) -> tuple[LayoutContext, list[StripRow]]:
    """The rows of the smallest board among the first candidates. Raises NoRoomError where none finds room."""
    best: tuple[int, _Candidate] | None = None
    failed, drawn = NoRoomError("no strip width"), 0
    for each in candidates:
        if drawn == ROUTED or (best is not None and each.area_nm2 > GAIN * best[0]):
            break
        try:
            rows = _rows(each.context, each.strips, NO_LIMIT_NM2 if best is None else best[0])
        except TooTallError:
            drawn += 1
            continue
        except NoRoomError as error:
            failed = error
            continue
        drawn += 1
        size, _ = mounting(each.context, rows)
        if best is None or size.width * size.height < best[0]:
            best = size.width * size.height, each
    if best is None:
        raise failed
    context, strips = best[1].context, best[1].strips
    return context, _rows(context, strips, NO_LIMIT_NM2, squeezed=True)


def _rows(context: LayoutContext, strips: list[StripPlan], area_nm2: int, *, squeezed: bool = False) -> list[StripRow]:
    """All strips laid out. Raises NoRoomError; TooTallError where the board is no smaller than that area."""
    parts = folded(context, strips)
    wide = max(sum(strip.columns or context.columns for strip in part) for part in parts)
    left = (area_nm2 - 1) // _area_nm2(context, len(parts[0]), wide, 1)
    rows = []
    for part in parts:
        rows.append(lay_out_row(context, part, left, squeezed=squeezed))
        left -= rows[-1].strips[0].rows
    return rows


def folded(context: LayoutContext, strips: list[StripPlan]) -> list[list[StripPlan]]:
    """The strips in one row, or in two where one would be longer than the board house makes; with those for screws.

    The lower row, with the output, is the longer one: the earth bar then passes beside the upper. Changeovers stay in
    one row, each beside the next.
    """
    one = with_screw_strips(context, strips)
    changeovers = any(strip.onward != strip.resting for strip in strips)
    if changeovers or len(strips) < FEW_STRIPS or row_width_nm(context, one) <= context.rules.house.longest_nm:
        return [one]
    upper = (len(strips) - 1) // 2
    return [with_screw_strips(context, part) for part in (strips[:upper], strips[upper:])]


def _area_nm2(context: LayoutContext, strips: int, columns: int, rows: int) -> int:
    """About the area of a board of one row of so many strips, and of so many columns in all."""
    margin = narrow_margin_nm(context) if strips >= FEW_STRIPS else wide_margin_nm(context)
    return (columns * GRID_NM + margin + bar_margin_nm(context, margin)) * rows * GRID_NM


def _least_rows(context: LayoutContext, strips: list[StripPlan]) -> int | None:
    """The least rows that the strips may take, from placement alone; None where a part is too wide."""
    heights: list[tuple[int, int, int]] = []
    for strip in strips:
        rows = []
        for cell in cell_tasks(context, strip):
            if not cell.task.parts:
                rows.append(cell.task.rows)
                continue
            found = arrangements(cell.task, 0, FEW_TRIALS)
            if not found:
                return None
            rows.append(found[0][0])
        bus = len(strip.upper)
        heights.append((sum(rows[:bus]), sum(rows[bus:-1]), rows[-1]))
    return sum(max(row[part] for row in heights) for part in range(3))
