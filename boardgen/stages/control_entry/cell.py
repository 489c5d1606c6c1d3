"""The guards of the lines above, the terminals at the edge of the board."""

from __future__ import annotations

from boardgen.model.cell import Cell, CellPart, Joins, Pair
from boardgen.model.netlist import Component

AT_EDGE = ("terminal", "stud", "jack")


def guards(parts: tuple[Component, ...], joins: Joins, pair: Pair) -> Cell:
    """Suppressors first, since they are long, then the rest; no pair reaches them."""
    inner = [part for part in parts if part.part.kind not in AT_EDGE]
    ordered = sorted(inner, key=lambda part: part.part.kind != "suppressor")
    return Cell("guards", tuple(map(CellPart, ordered)))


def edge(parts: tuple[Component, ...], joins: Joins, pair: Pair) -> Cell:
    """Wire entry towards the edge, so nothing is turned."""
    return Cell("entry", tuple(CellPart(part, (0,)) for part in parts if part.part.kind in AT_EDGE))
