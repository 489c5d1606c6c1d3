"""What bonds or drains the bus stands just above it."""

from __future__ import annotations

from boardgen.model.cell import Cell, CellPart, Joins, Pair
from boardgen.model.netlist import Component


def cell(parts: tuple[Component, ...], joins: Joins, pair: Pair) -> Cell:
    """Links and bleeders, turned at will; the pair passes."""
    return Cell("bus", tuple(map(CellPart, parts)), pair)
