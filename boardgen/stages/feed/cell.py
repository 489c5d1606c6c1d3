"""Chokes first, since they are large, then the capacitors between them."""

from __future__ import annotations

from boardgen.model.cell import Cell, CellPart, Joins, Pair
from boardgen.model.netlist import Component


def cell(parts: tuple[Component, ...], joins: Joins, pair: Pair) -> Cell:
    """Every part may be turned. The pair goes on behind the blocking capacitors."""
    behind = dict(zip(("blocking centre", "blocking braid"), (0, 1), strict=True))
    inward = list(pair)
    for part in parts:
        index = behind.get(part.subject.slot)
        if index is not None:
            inward[index] = next(net for net in joins[part.ref].values() if net != pair[index])
    ordered = sorted(parts, key=lambda part: "choke" not in part.subject.slot)
    return Cell("feed", tuple(map(CellPart, ordered)), (inward[0], inward[1]))
