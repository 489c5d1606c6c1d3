"""Lays the strips of one row out, equal in height and with the bus at one height."""

from __future__ import annotations

from msgspec import Struct

from boardgen.board.alike import strip_jobs
from boardgen.board.cell_layout import GRID_NM, NO_LIMIT, TooTallError, lay
from boardgen.board.cell_task import Laid
from boardgen.board.strip_cells import RAIL_AWAY, CellJob, Context, filler
from boardgen.board.strips import StripPlan


class Stack(Struct):
    """A strip laid out: its cells from the top edge to the foot."""

    cells: list[tuple[CellJob, Laid]]

    @property
    def rows(self) -> int:
        """Height in rows."""
        return sum(laid.rows for _, laid in self.cells)


class Row(Struct):
    """Strips side by side, equal in height and with the bus at one height."""

    context: Context
    stacks: list[Stack]

    @property
    def width_nm(self) -> int:
        """Width without margins."""
        return len(self.stacks) * self.context.columns * GRID_NM

    @property
    def height_nm(self) -> int:
        """Height of the row."""
        return self.stacks[0].rows * GRID_NM


def lay_row(context: Context, strips: list[StripPlan], most_rows: int = NO_LIMIT) -> Row:
    """Every strip laid out, with fillers that bring bus and edge to one height.

    Raises NoRoomError; TooTallError as soon as it is certain that the row takes more rows than these.
    """
    stacks: list[Stack] = []
    upper = lower = entry = 0
    # the output's strip first: with the stud in it, it is the first to find no room in a narrow strip
    for cells in reversed(strip_jobs(context, strips)):
        stack = _stack(cells, most_rows)
        bus = _bus(stack)
        upper = max(upper, sum(laid.rows for _, laid in stack.cells[:bus]))
        lower = max(lower, sum(laid.rows for _, laid in stack.cells[bus:-1]))
        entry = max(entry, stack.cells[-1][1].rows)
        if upper + lower + entry > most_rows:
            raise TooTallError("row")
        stacks.insert(0, stack)
    for stack in stacks:
        bus = _bus(stack)
        missing = lower - sum(laid.rows for _, laid in stack.cells[bus:-1])
        missing += entry - stack.cells[-1][1].rows
        _fill(stack, len(stack.cells) - 1, missing)
        have = sum(laid.rows for _, laid in stack.cells[:bus])
        at = bus - 1 if stack.cells[bus - 1][0].job.stage == "bus" else bus
        _fill(stack, at, upper - have)
        stack.cells = [(cell, laid) for cell, laid in stack.cells if laid.rows]
    return Row(context, stacks)


def _stack(cells: list[CellJob], most_rows: int) -> Stack:
    """A strip's cells laid out."""
    found: dict[int, Laid] = {}
    left = most_rows
    # what takes little to lay out tells first whether the rest is of use
    for number in sorted(range(len(cells)), key=lambda n: len(cells[n].job.parts)):
        job = cells[number].job
        # without parts and height it is nothing
        found[number] = lay(job, left) if job.parts or job.rows else Laid(0, (), (), ())
        left -= found[number].rows
    return Stack([(cell, found[number]) for number, cell in enumerate(cells)])


def _bus(stack: Stack) -> int:
    return next(i for i, (cell, _) in enumerate(stack.cells) if cell.job.stage == "rails")


def _fill(stack: Stack, before: int, rows: int) -> None:
    """A filler of so many rows before the cell with that index."""
    if rows > 0:
        below, _ = stack.cells[before]
        after_port = before > 0 and stack.cells[before - 1][0].job.stage == "port"
        cell = filler(below.job, rows, below.names, RAIL_AWAY if after_port else 0)
        stack.cells.insert(before, (cell, lay(cell.job)))
