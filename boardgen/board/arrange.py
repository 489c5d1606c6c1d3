"""Chooses the strip width and the sharing of cells that make the board small."""

from __future__ import annotations

from collections.abc import Mapping

from boardgen.board.assemble import assemble
from boardgen.board.jobs import Context, cell_jobs
from boardgen.board.lay import GRID_NM, NoRoomError, earth_nm
from boardgen.board.pack import FEW_TRIALS, pack
from boardgen.board.rows import Row, lay_row, margin_nm
from boardgen.board.rules import Rules
from boardgen.board.strips import StripPlan, net_kinds, plan
from boardgen.model.copper import Board
from boardgen.model.netlist import Netlist
from boardgen.model.part import Footprint

COLUMNS = (22, 24, 26, 28, 32, 36, 44)
"""Widths of a strip that are tried, in columns of 0.635 mm: 13.97 to 35.56 mm."""
PATH = ("feed", "braid breaker", "selector", "changeover")
WAYS: tuple[tuple[tuple[str, ...], bool], ...] = ((), True), (PATH, True), ((), False)
"""Stages whose parts share one cell, so that small ones fill the room beside large ones; guards across the rails."""
ROUTED = 2
"""So many arrangements are drawn, the most promising first; the smallest is kept."""


def arrange(netlist: Netlist, footprints: Mapping[str, Footprint], rules: Rules, pour: bool = True) -> Board:
    """The smallest board that a strip width of the list gives. Raises NoRoomError where none does."""
    kinds = net_kinds(netlist)
    rails = tuple(n for n in ("bus centre", "bus braid", "coil supply", "feed shared", "0V") if n in kinds)
    promising: list[tuple[int, Context, list[StripPlan]]] = []
    for together, across in WAYS:
        strips = plan(netlist, together)
        for columns in COLUMNS:
            context = Context(netlist, footprints, kinds, rules, columns, rails, across)
            height = estimate(context, strips)
            if height is not None:
                promising.append((_area(context, len(strips), height), context, strips))
    best: tuple[int, Context, list[Row]] | None = None
    failed, drawn = NoRoomError("no strip width"), 0
    for area, context, strips in sorted(promising, key=lambda each: each[0]):
        if drawn == ROUTED or (best is not None and area >= best[0]):
            break
        try:
            rows = [lay_row(context, part) for part in folded(context, strips)]
        except NoRoomError as error:
            failed = error
            continue
        drawn += 1
        area = _area(context, max(len(row.stacks) for row in rows), sum(row.stacks[0].rows for row in rows))
        if best is None or area < best[0]:
            best = area, context, rows
    if best is None:
        raise failed
    return assemble(best[1], best[2], pour)


def folded(context: Context, strips: list[StripPlan]) -> list[list[StripPlan]]:
    """The strips in one row, or in two where one would be longer than the board house's stated length.

    The lower row, with the output, is the longer one: the earth bar then passes beside the upper. Changeovers stay in
    one row, each beside the next.
    """
    if any(strip.onward != strip.resting for strip in strips):
        return [strips]
    if len(strips) * context.columns * GRID_NM * 1e-6 <= context.rules.house.longest or len(strips) < 4:
        return [strips]
    upper = (len(strips) - 1) // 2
    return [strips[:upper], strips[upper:]]


def _area(context: Context, strips: int, rows: int) -> int:
    """Square nanometres of a board of one row."""
    return (strips * context.columns * GRID_NM + 2 * margin_nm(context)) * rows * GRID_NM


def estimate(context: Context, strips: list[StripPlan]) -> int | None:
    """The least rows that the strips may take, from packing alone; None where a part is too wide."""
    heights: list[tuple[int, int, int]] = []
    for strip in strips:
        rows = []
        for cell in cell_jobs(context, strip):
            if not cell.job.seats:
                rows.append(cell.job.rows)
                continue
            packed = pack(cell.job, 0, earth_nm(cell.job), FEW_TRIALS)
            if packed is None:
                return None
            rows.append(packed[0])
        bus = len(strip.upper)
        heights.append((sum(rows[:bus]), sum(rows[bus:-1]), rows[-1]))
    return sum(max(row[part] for row in heights) for part in range(3))
