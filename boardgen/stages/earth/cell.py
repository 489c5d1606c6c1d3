"""The stake's stud at the side of the board, and what joins it to 0V."""

from __future__ import annotations

from boardgen.model.cell import Cell, CellPart, Joins, Pair
from boardgen.model.netlist import Component


def cell(parts: tuple[Component, ...], joins: Joins, pair: Pair) -> Cell:
    """The stud above, the tube or link upright below it with its earth pin up; the pair passes."""
    stud_first = sorted(parts, key=lambda part: part.part.kind != "stud")
    return Cell("earth", tuple(CellPart(p, (0,) if p.part.kind == "stud" else (3, 1)) for p in stud_first), pair)
