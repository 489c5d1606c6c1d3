"""The transformer across the strip, its primary towards the port."""

from __future__ import annotations

from boardgen.model.cell import Cell, CellPart, Joins, Pair
from boardgen.model.netlist import Component


def cell(parts: tuple[Component, ...], joins: Joins, pair: Pair) -> Cell:
    """Half a turn brings the primary's face to the port; starts then lie on the right, so the pair comes crossed."""
    core = next(part for part in parts if part.part.kind == "core")
    cell_parts = [CellPart(part, (2,) if part is core else (0, 1, 2, 3)) for part in parts]
    joined = joins[core.ref]
    inward = (joined["secondary start"], joined["secondary end"])
    return Cell("braid breaker", tuple(cell_parts), inward, crossed=True)
