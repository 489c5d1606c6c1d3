"""Relays along the strip, coil towards the port, normally open contacts towards the bus."""

from __future__ import annotations

from boardgen.model.cell import Cell, CellPart, Joins, Pair
from boardgen.model.netlist import Component


def cell(parts: tuple[Component, ...], joins: Joins, pair: Pair) -> Cell:
    """Each relay before the parts about its coil. The pair goes on behind the last relay's normally open contacts."""
    last = [part for part in parts if part.part.kind == "relay"][-1]
    opened = joins[last.ref]
    inward = (opened["pole A normally open"], opened["pole B normally open"])
    ordered = sorted(parts, key=lambda part: (_relay_of(part), part.part.kind != "relay"))
    return Cell(
        "selector", tuple(CellPart(p, (3,) if p.part.kind == "relay" else (0, 1, 2, 3)) for p in ordered), inward
    )


def _relay_of(part: Component) -> str:
    """The number of the relay that a part belongs to; what stands once on a line comes first."""
    slot = part.subject.slot
    return next((c for c in slot if c.isdigit()), "1")
