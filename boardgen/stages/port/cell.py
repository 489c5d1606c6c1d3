"""The port's pads."""

from __future__ import annotations

from boardgen.model.cell import Cell, CellPart, Joins, Pair
from boardgen.model.netlist import Component


def cell(parts: tuple[Component, ...], joins: Joins, pair: Pair) -> Cell:
    """The connector lies along the edge of the board; the pair goes straight on."""
    return Cell("port", tuple(CellPart(part, (0, 2)) for part in parts), pair)
