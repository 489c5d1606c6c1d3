"""The tubes of a strip."""

from __future__ import annotations

from boardgen.model.cell import Cell, CellPart, Joins, Pair
from boardgen.model.netlist import Component


def cell(parts: tuple[Component, ...], joins: Joins, pair: Pair) -> Cell:
    """Three electrodes lie across the strip, two along it; the pair goes straight on."""
    return Cell("surge", tuple(CellPart(p, (0, 2) if len(p.part.pins) == 3 else (1, 3)) for p in parts), pair)
