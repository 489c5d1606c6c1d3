"""Chooses the widths of the strips and the sharing of cells that make the board small, and its strips little coupled.

Algorithm: strips of one width, for each width of a list, and strips of several: from the narrowest on, those that stand
highest above the bus are widened step by step. In each strip stages share a cell where that saves rows. All are ranked
by an estimate from placement alone; the few most promising are routed, and the one is kept whose area and capacitance
from signal to signal are least together. Cost: one placement with few trials for each cell of each width, and at most
ROUTED boards routed.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Mapping

from msgspec import Struct
from msgspec.structs import replace

from boardgen.board.assemble import assemble
from boardgen.board.cell_layout import lay_out_cell
from boardgen.board.layout_context import LayoutContext, pad_nets
from boardgen.board.mounting import (
    FEW_STRIPS,
    bar_margin_nm,
    margin_nm,
    mounting,
    row_width_nm,
    wide_margin_nm,
    with_room_for_screws,
)
from boardgen.board.parasitics import signal_coupling_f
from boardgen.board.placement import FEW_TRIALS, arrangements
from boardgen.board.port_cell import tubes, widest_end_nm, widest_nm
from boardgen.board.router import NoRoomError, TooTallError
from boardgen.board.rules import GRID_NM, Rules
from boardgen.board.strip_cells import cell_tasks
from boardgen.board.strip_rows import StripRow, firsts_of_form, lay_out_row
from boardgen.board.strips import StripPlan, bus_nets, has_terminals, net_classes, plan_strips, surge_goes_on
from boardgen.model.copper import Board
from boardgen.model.netlist import Netlist
from boardgen.model.part import Footprint
from boardgen.stages import STRIP_STAGES

COLUMNS = (22, 24, 26, 28, 32, 36, 40, 44, 52)
"""Widths of a strip that are tried, in columns of 0.635 mm: 13.97 to 33.02 mm, for the largest core."""
PATH = tuple(stage.name for stage in STRIP_STAGES if stage.in_series)
"""The stages that may share one cell."""
SHARED_ROWS = 3
"""Stages share a cell in a strip where that promises to save so many rows: their cell is harder to route."""
SMALL = frozenset(stage.name for stage in STRIP_STAGES if stage.small_parts)
"""The stages for whose sake cells are shared: without them sharing saves nothing and costs most time."""
WORSE = 1.08
"""No wider strips are tried after one whose estimate is so many times the best, unless nothing else fits."""
ROUTED = 3
"""So many arrangements are drawn, the most promising first."""
GAIN = 0.96
"""One whose antennas are as those of one that was drawn is drawn only where it promises to be so much smaller."""
LARGER = 1.1
"""None is drawn that promises to be so many times as large as the smallest so far."""
AREA_A_DECADE = 0.2
"""Ten times less capacitance from signal to signal, 20 dB of isolation, is worth about this share of the area: a choice
of this program."""
UNCOUPLED_F = 20e-15
"""Less than this from signal to signal counts as this: 87 dB at 10 MHz between lines of 75 ohm; a choice of this
program."""
NO_LIMIT_NM2 = 1 << 62
"""More than the area of any board."""


class _Candidate(Struct, frozen=True):
    """One way to share cells at one strip width, and the area that it promises."""

    area_nm2: int
    context: LayoutContext
    strips: list[StripPlan]

    @property
    def antennas(self) -> tuple[tuple[int, int], ...]:
        """What coupling goes by: width and number of cells of each antenna's strip."""
        wide = self.context.columns
        return tuple((s.columns or wide, len(s.upper)) for s in self.strips if not s.is_output)


def best_board(netlist: Netlist, footprints: Mapping[str, Footprint], rules: Rules, pour: bool = True) -> Board:
    """The board of the strip widths of the list that is small and little coupled.

    Parameters
    ----------
    netlist, footprints, rules : what is laid out, and what it is drawn with
    pour : whether the 0V copper between the tracks is filled in

    Raises
    ------
    NoRoomError where no strip width gives one

    """
    try:
        context, rows = _chosen(_candidates(netlist, footprints, rules))
    except NoRoomError:
        # what takes more room: every arrangement in any width, without guards across the bus as well
        guards = itertools.chain.from_iterable(
            _candidates(netlist, footprints, rules, thorough=True, line_guards_on_bus=on_bus)
            for on_bus in (True, False)
        )
        context, rows = _chosen(sorted(guards, key=lambda each: each.area_nm2))
    return assemble(context, rows, pour)


def _candidates(
    netlist: Netlist,
    footprints: Mapping[str, Footprint],
    rules: Rules,
    *,
    thorough: bool = False,
    line_guards_on_bus: bool = True,
) -> list[_Candidate]:
    """What may be drawn, the most promising first. Raises NoRoomError where no width is wide enough."""
    classes = net_classes(netlist)
    at_ports, widest_end = tubes(netlist, footprints), widest_end_nm(netlist, footprints)
    least = max(at_ports.least_columns, math.ceil(widest_end / GRID_NM))
    pads, strips = pad_nets(netlist, footprints), plan_strips(netlist)
    context = LayoutContext(
        netlist=netlist,
        footprints=footprints,
        net_class=classes,
        pads=pads,
        rules=rules,
        columns=0,
        line_guards_on_bus=line_guards_on_bus,
        bus=bus_nets(strips, pads, classes),
        thorough=thorough,
        tubes=at_ports,
        widest_end_nm=widest_end,
        ports_nm=widest_nm(netlist, footprints, "port"),
        lines_nm=widest_nm(netlist, footprints, "line"),
        surge_to_cable=surge_goes_on(netlist),
        has_terminals=has_terminals(netlist),
    )
    fed = any(component.subject.stage in SMALL for component in netlist.components)
    sharings = (PATH,) if fed and not thorough else ()
    heights = _Heights(context, [strips, *(plan_strips(netlist, shared) for shared in sharings)])
    every = [columns for columns in COLUMNS if columns >= least]
    found: list[_Candidate] = []
    best: float = math.inf
    for columns, rows in _of_one_width(heights, every):
        found.append(heights.candidate(columns, rows))
        best = min(best, found[-1].area_nm2)
        # wider strips gain no more once the area grows
        if found[-1].area_nm2 > WORSE * best and not thorough:
            break
    for columns, rows in _of_own_widths(heights, every):
        each = heights.candidate(columns, rows)
        # strips of two rows stand one above the other
        if len(folded(each.context, each.strips)) == 1:
            found.append(each)
    if not found:
        raise heights.failed
    return sorted(found, key=lambda each: each.area_nm2)


_Rows = tuple[int, int, int]
"""Rows above the bus, from there to the entry, and of the entry."""


class _Heights:
    """The least rows of each form of strip at each width, from placement alone, worked out when they are asked for.

    `plans` are the strips with every stage in a cell of its own, and those in which stages share cells.
    """

    def __init__(self, context: LayoutContext, plans: list[list[StripPlan]]) -> None:
        self.context, self.plans = context, plans
        self.first_of = firsts_of_form(context, plans[0])
        self.forms = list(dict.fromkeys(self.first_of))
        self.failed = NoRoomError("no strip width")
        self._found: dict[tuple[int, int], tuple[int, _Rows] | None] = {}

    def rows(self, form: int, columns: int) -> _Rows | None:
        """Those of the form of a strip; None where a part is too wide."""
        found = self._best(form, columns)
        return found[1] if found else None

    def _best(self, form: int, columns: int) -> tuple[int, _Rows] | None:
        """Which plan of a form is the lowest, and its rows."""
        if (form, columns) not in self._found:
            context = replace(self.context, columns=columns)
            best: tuple[int, _Rows] | None = None
            for number, strips in enumerate(self.plans):
                try:
                    rows = _least_rows(context, strips[form])
                except NoRoomError as error:
                    self.failed, rows = error, None
                if rows and (best is None or sum(rows) <= sum(best[1]) - SHARED_ROWS):
                    best = number, rows
            self._found[form, columns] = best
        return self._found[form, columns]

    def candidate(self, columns: Mapping[int, int], rows: int) -> _Candidate:
        """The strips with each form in its width, and the area that so many rows make."""
        context = replace(self.context, columns=min(columns.values()))
        strips = []
        for number, form in enumerate(self.first_of):
            wide = columns[form]
            best = self._best(form, wide)
            strip = self.plans[best[0] if best else 0][number]
            strips.append(strip if wide == context.columns else replace(strip, columns=wide))
        parts = folded(context, strips)
        return _Candidate(_width_nm(context, parts) * (len(parts) * rows * GRID_NM), context, strips)


def _of_one_width(heights: _Heights, every: list[int]) -> Iterator[tuple[dict[int, int], int]]:
    """All strips in one width after the other, with the rows that they take."""
    for columns in every:
        rows = [heights.rows(form, columns) for form in heights.forms]
        if None not in rows:
            yield dict.fromkeys(heights.forms, columns), _together(row for row in rows if row)


def _of_own_widths(heights: _Heights, every: list[int]) -> Iterator[tuple[dict[int, int], int]]:
    """From the narrowest strips on, those that stand highest above the bus are widened step by step."""
    if len(heights.forms) < 2:
        return
    fitting = {form: [c for c in every if heights.rows(form, c)] for form in heights.forms}
    if not all(fitting.values()):
        return
    columns = {form: wide.pop(0) for form, wide in fitting.items()}
    while True:
        rows = {form: heights.rows(form, columns[form]) or (0, 0, 0) for form in heights.forms}
        if len(set(columns.values())) > 1:
            yield dict(columns), _together(rows.values())
        highest = max(row[0] for row in rows.values())
        for form in (form for form, row in rows.items() if row[0] == highest):
            if not fitting[form]:
                return
            columns[form] = fitting[form].pop(0)


def _together(rows: Iterable[_Rows]) -> int:
    """The rows of strips side by side with the bus and the entries at one height."""
    return sum(max(parts) for parts in zip(*rows, strict=True))


def _chosen(candidates: list[_Candidate]) -> tuple[LayoutContext, list[StripRow]]:
    """The rows of the best board of those drawn. Raises NoRoomError where none is."""
    drawn: list[tuple[float, LayoutContext, list[StripRow]]] = []
    failed, least_nm2, tried = NoRoomError("no strip width"), NO_LIMIT_NM2, 0
    antennas = set[tuple[tuple[int, int], ...]]()
    for each in candidates:
        if tried == ROUTED or each.area_nm2 > LARGER * least_nm2:
            break
        if each.antennas in antennas and each.area_nm2 > GAIN * least_nm2:
            continue
        try:
            rows = _rows(each.context, each.strips, round(LARGER * least_nm2))
        except TooTallError:
            tried += 1
            continue
        except NoRoomError as error:
            failed, tried = error, tried + bool(drawn)
            continue
        tried += 1
        antennas.add(each.antennas)
        size, _ = mounting(each.context, rows)
        least_nm2 = min(least_nm2, size.width * size.height)
        farads = max(signal_coupling_f(assemble(each.context, rows, pour=True), each.context.netlist), UNCOUPLED_F)
        drawn.append((math.log(size.width * size.height) + AREA_A_DECADE * math.log10(farads), each.context, rows))
    if not drawn:
        raise failed
    _, context, rows = min(drawn, key=lambda each: each[0])
    return context, rows


def _rows(context: LayoutContext, strips: list[StripPlan], area_nm2: int) -> list[StripRow]:
    """All strips laid out. Raises NoRoomError; TooTallError where the board is no smaller than that area."""
    parts = folded(context, strips)
    left = (area_nm2 - 1) // (_width_nm(context, parts) * GRID_NM)
    rows = []
    for part in parts:
        rows.append(lay_out_row(context, part, left))
        left -= rows[-1].strips[0].rows
    return rows


def folded(context: LayoutContext, strips: list[StripPlan]) -> list[list[StripPlan]]:
    """The strips in one row, or in two where one would be longer than the board house makes; with those for screws.

    The lower row, with the output, is the longer one: the earth bar then passes beside the upper. Changeovers stay in
    one row, each beside the next.
    """
    one = with_room_for_screws(context, strips)
    changeovers = any(strip.onward != strip.resting for strip in strips)
    if changeovers or len(strips) < FEW_STRIPS or row_width_nm(context, one) <= context.rules.house.longest_nm:
        return [one]
    upper = (len(strips) - 1) // 2
    return [with_room_for_screws(context, part, corners=False) for part in (strips[:upper], strips[upper:])]


def _width_nm(context: LayoutContext, rows: list[list[StripPlan]]) -> int:
    """About the width of a board of such rows of strips."""
    wide = max(sum(strip.columns or context.columns for strip in row) for row in rows)
    margin = margin_nm(context, rows[0]) if len(rows) == 1 else max(wide_margin_nm(context, row) for row in rows)
    return wide * GRID_NM + margin + bar_margin_nm(context, margin)


def _least_rows(context: LayoutContext, strip: StripPlan) -> _Rows | None:
    """The least rows that a strip may take, from placement alone; None where a part is too wide.

    Raises NoRoomError where no way leads past the stud.
    """
    rows = []
    for cell in cell_tasks(context, strip):
        if cell.task.place == "earth":
            lay_out_cell(cell.task)
        if not cell.task.parts:
            rows.append(cell.task.rows)
            continue
        found = arrangements(cell.task, 0, FEW_TRIALS)
        if not found:
            return None
        rows.append(found[0][0])
    bus = len(strip.upper)
    return sum(rows[:bus]), sum(rows[bus:-1]), rows[-1]
