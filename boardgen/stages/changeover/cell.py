"""The relay with its coil towards the port, before the parts about its coil; the pair of its commons goes on."""

from __future__ import annotations

from boardgen.model.cell import Cell, CellPart, Joins, Pair
from boardgen.model.netlist import Component


def cell(parts: tuple[Component, ...], joins: Joins, pair: Pair) -> Cell:
    """The resting pair comes from the rails; only the commons' pair leaves in the middle. No relay: the pair passes."""
    relay = next((part for part in parts if part.part.kind == "relay"), None)
    if relay is None:
        return Cell("changeover", tuple(map(CellPart, parts)), pair)
    ends = joins[relay.ref]
    inward, resting = (
        (ends[f"pole A {contact}"], ends[f"pole B {contact}"]) for contact in ("common", "normally closed")
    )
    rest = [part for part in parts if part is not relay]
    return Cell("changeover", (CellPart(relay, (3,)), *map(CellPart, rest)), inward, resting=resting)
