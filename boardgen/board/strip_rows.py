"""Lays the strips of one row out, equal in height and with the bus at one height; equal strips are worked out once.

Strips are equal that differ in nothing but the names of their nets and parts. A strip's form says what its cells are
made of without those names: equal forms give equal tasks, and each task is laid out once.
"""

from __future__ import annotations

from collections import Counter
from itertools import accumulate

from msgspec import Struct

from boardgen.board.cell_layout import NO_LIMIT, lay_out_cell, squeezed_cell
from boardgen.board.cell_task import CellTask, RoutedCell
from boardgen.board.layout_context import LayoutContext
from boardgen.board.router import TooTallError
from boardgen.board.rules import GRID_NM
from boardgen.board.strip_cells import BELOW_PORT, StripCell, cell_tasks, cells, filler, line_order
from boardgen.board.strips import StripPlan
from boardgen.model.cell import Cell


class RoutedStrip(Struct):
    """A strip laid out: its cells from the top edge to the foot."""

    cells: list[tuple[StripCell, RoutedCell]]
    columns: int

    @property
    def rows(self) -> int:
        """Height in rows of the grid."""
        return sum(routed.rows for _, routed in self.cells)

    @property
    def upper_rows(self) -> int:
        """Rows above the bus."""
        return sum(routed.rows for _, routed in self.cells[: self.bus])

    @property
    def bus(self) -> int:
        """The number of the bus among the cells."""
        return next(number for number, (cell, _) in enumerate(self.cells) if cell.task.place == "bus")


class StripRow(Struct):
    """Strips side by side, equal in height and with the bus at one height."""

    context: LayoutContext
    plans: list[StripPlan]
    strips: list[RoutedStrip]

    @property
    def width_nm(self) -> int:
        """Width without margins."""
        return sum(strip.columns for strip in self.strips) * GRID_NM

    @property
    def lefts_nm(self) -> list[int]:
        """How far right of the first strip's left edge that of each strip lies."""
        return [column * GRID_NM for column in accumulate((s.columns for s in self.strips[:-1]), initial=0)]

    @property
    def height_nm(self) -> int:
        """Height of the row."""
        return self.strips[0].rows * GRID_NM


def lay_out_row(context: LayoutContext, plans: list[StripPlan], most_rows: int = NO_LIMIT) -> StripRow:
    """Every strip laid out, loose cells of the fullest squeezed, with fillers that bring bus and edge to one height.

    Raises NoRoomError; TooTallError as soon as it is certain that the row takes more rows than these.
    """
    strips: list[RoutedStrip] = []
    upper = lower = entry = 0
    # the output's strip first: with the stud in it, it is the first to find no room in a narrow strip
    for of_strip in reversed(tasks_of_all(context, plans)):
        strip = _lay_out_strip(of_strip, most_rows)
        upper = max(upper, strip.upper_rows)
        lower = max(lower, sum(routed.rows for _, routed in strip.cells[strip.bus : -1]))
        entry = max(entry, strip.cells[-1][1].rows)
        if upper + lower + entry > most_rows:
            raise TooTallError("row")
        strips.insert(0, strip)
    upper = _squeeze(strips)
    for strip in strips:
        bus = strip.bus
        missing = lower - sum(routed.rows for _, routed in strip.cells[bus:-1])
        missing += entry - strip.cells[-1][1].rows
        _fill(strip, len(strip.cells) - 1, missing)
        have = strip.upper_rows
        at = bus - 1 if strip.cells[bus - 1][0].task.place == "above bus" else bus
        _fill(strip, at, upper - have)
        strip.cells = [(cell, routed) for cell, routed in strip.cells if routed.rows]
    return StripRow(context, plans, strips)


def _squeeze(strips: list[RoutedStrip]) -> int:
    """The rows above the bus after loose cells of the fullest strips have been squeezed, as long as that helps."""
    tried: set[CellTask] = set()
    while True:
        fullest = max(strips, key=lambda strip: strip.upper_rows)
        tasks = {cell.task for cell, _ in fullest.cells[: fullest.bus] if cell.task.parts}
        if tasks <= tried:
            return fullest.upper_rows
        tried |= tasks
        for strip in strips:
            strip.cells = [
                (cell, squeezed_cell(cell.task) if cell.task in tasks else routed) for cell, routed in strip.cells
            ]


def _lay_out_strip(of_strip: list[StripCell], most_rows: int) -> RoutedStrip:
    found: dict[int, RoutedCell] = {}
    left = most_rows
    # what takes little to lay out tells first whether the rest is of use
    for number in sorted(range(len(of_strip)), key=lambda n: len(of_strip[n].task.parts)):
        task = of_strip[number].task
        # without parts and height it is nothing
        found[number] = lay_out_cell(task, left) if task.parts or task.rows else RoutedCell(0, (), (), ())
        left -= found[number].rows
    return RoutedStrip([(cell, found[number]) for number, cell in enumerate(of_strip)], of_strip[0].task.columns)


def _fill(strip: RoutedStrip, before: int, rows: int) -> None:
    """A filler of so many rows before the cell with that number."""
    if rows > 0:
        below, _ = strip.cells[before]
        after_port = before > 0 and strip.cells[before - 1][0].task.place == "port"
        cell = filler(below, rows, BELOW_PORT if after_port else 0)
        strip.cells.insert(before, (cell, lay_out_cell(cell.task)))


def firsts_of_form(context: LayoutContext, plans: list[StripPlan]) -> list[int]:
    """For each strip the number of the first one of its form."""
    return [first for first, _ in _first_of_form(context, plans)]


def tasks_of_all(context: LayoutContext, plans: list[StripPlan]) -> list[list[StripCell]]:
    """The tasks of each strip, worked out for the first of each form: others have the same with their own names."""
    tasks: list[list[StripCell]] = []
    for plan, (first, nets) in zip(plans, _first_of_form(context, plans), strict=True):
        if first == len(tasks):
            tasks.append(cell_tasks(context, plan))
            continue
        tasks.append(
            [
                StripCell(
                    one.task,
                    {local: nets.get(net, net) for local, net in one.nets.items()},
                    tuple(part.component for part in cell.parts),
                )
                for one, cell in zip(tasks[first], cells(context, plan), strict=True)
            ]
        )
    return tasks


def _first_of_form(context: LayoutContext, plans: list[StripPlan]) -> list[tuple[int, dict[str, str]]]:
    """For each strip the number of the first one of its form, and by the name of a net there what it is called here."""
    nets = [sorted(_nets(context, plan)) for plan in plans]
    count = Counter(net for each in nets for net in each)
    found: dict[object, int] = {}
    firsts = []
    for number, (plan, names) in enumerate(zip(plans, nets, strict=True)):
        first = found.setdefault(_form(context, plan, names, count), number)
        firsts.append((first, dict(zip(nets[first], names, strict=True))))
    return firsts


def _nets(context: LayoutContext, plan: StripPlan) -> set[str]:
    inward = (cell.inward or () for cell in (*plan.upper, *plan.lower))
    return plan.pad_nets(context.pads).union(context.bus, plan.pairs, *inward)


def _form(context: LayoutContext, plan: StripPlan, names: list[str], count: Counter[str]) -> object:
    """What two strips have in common whose cells are the same tasks.

    A net of one strip alone counts by its class and by its rank, since lines are put in order by name; any other net is
    itself.
    """
    anonymous: dict[str | None, object] = {None: None}
    for rank, net in enumerate(names):
        common = count[net] > 1 or net in context.bus or net in ("0V", "earth")
        anonymous[net] = rank, net if common else (context.net_class[net], *line_order(net, context)[:-1])

    def of_cell(cell: Cell) -> object:
        parts = tuple(
            (
                part.component.part.footprint,
                part.component.part.kind,
                part.rotations,
                tuple(anonymous[net] for net in context.pads[part.component.ref]),
            )
            for part in cell.parts
        )
        return cell.stage, cell.crossed, tuple(anonymous[net] for net in cell.inward or ()), parts

    pairs = [tuple(anonymous[net] for net in pair or ()) for pair in (plan.onward, plan.resting)]
    strip = plan.is_output, plan.columns, plan.port_aside, plan.entry_aside, len(plan.upper)
    return *strip, *pairs, *(of_cell(cell) for cell in (*plan.upper, *plan.lower))
