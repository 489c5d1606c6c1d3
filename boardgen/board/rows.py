"""Lays the strips of one row out, equal in height and with the bus at one height."""

from __future__ import annotations

from dataclasses import dataclass

from boardgen.board.job import Laid
from boardgen.board.jobs import CellJob, Context, cell_jobs, filler
from boardgen.board.lay import GRID_NM, lay
from boardgen.board.strips import StripPlan


@dataclass
class Stack:
    """A strip laid out: its cells from the top edge to the foot."""

    cells: list[tuple[CellJob, Laid]]

    @property
    def rows(self) -> int:
        """Height in rows."""
        return sum(laid.rows for _, laid in self.cells)


@dataclass
class Row:
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


def lay_row(context: Context, strips: list[StripPlan]) -> Row:
    """Every strip laid out, with fillers that bring bus and edge to one height."""
    stacks = [Stack([(cell, _laid(cell)) for cell in cell_jobs(context, strip)]) for strip in strips]
    upper = max(sum(laid.rows for _, laid in s.cells[: _bus(s)]) for s in stacks)
    lower = max(sum(laid.rows for _, laid in s.cells[_bus(s) : -1]) for s in stacks)
    entry = max(s.cells[-1][1].rows for s in stacks)
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


def _laid(cell: CellJob) -> Laid:
    """The cell laid out; nothing where it has neither parts nor height."""
    return lay(cell.job) if cell.job.seats or cell.job.rows else Laid(0, (), (), ())


def _bus(stack: Stack) -> int:
    return next(i for i, (cell, _) in enumerate(stack.cells) if cell.job.stage == "rails")


def _fill(stack: Stack, before: int, rows: int) -> None:
    """A filler of so many rows before the cell with that index."""
    if rows > 0:
        below, _ = stack.cells[before]
        edge_free = before > 0 and not stack.cells[before - 1][0].job.walls[1]
        cell = filler(below.job, rows, below.names, edge_free)
        stack.cells.insert(before, (cell, lay(cell.job)))
