"""What one board needs: the fitted parts of its netlist, and what is bought beside them."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from boardgen.model.extra import Extra
from boardgen.model.netlist import Component, Netlist
from boardgen.model.part import Part
from boardgen.model.problem import Place, Problem
from boardgen.purchasing.bill import Bill, Need

NOT_BOUGHT = {"none"}
"""Makers of what is only copper, such as solder pads."""


def needs(netlist: Netlist, extras: Iterable[Extra]) -> tuple[Need, ...]:
    """Parts in the order of the netlist, then the extras; a fixing set for each stud."""
    grouped: dict[str, list[Component]] = {}
    for component in netlist.components:
        if component.fitted and component.part.maker not in NOT_BOUGHT:
            grouped.setdefault(component.part.key, []).append(component)
    on_board = [
        Need(found[0].part, tuple(c.ref for c in found), Decimal(len(found)), "piece", spare=True)
        for found in grouped.values()
    ]
    return (*on_board, *(need_of_extra(extra) for extra in extras))


def need_of_extra(extra: Extra) -> Need:
    """What one board takes of something that does not stand on it."""
    quantity = Decimal(str(round(extra.quantity, 4)))
    return Need(extra.part, (), quantity, extra.part.unit, extra.spare, extra.note)


def unfitted(netlist: Netlist) -> tuple[tuple[tuple[str, ...], Part], ...]:
    """Designators that stay empty, by part."""
    grouped: dict[str, list[Component]] = {}
    for component in netlist.components:
        if not component.fitted:
            grouped.setdefault(component.part.key, []).append(component)
    return tuple((tuple(c.ref for c in found), found[0].part) for found in grouped.values())


def needs_of_unfitted(netlist: Netlist) -> tuple[Need, ...]:
    """The parts for the places that stay empty, for one board."""
    return tuple(
        Need(part, refs, Decimal(len(refs)), "piece", spare=True, note="for places left empty")
        for refs, part in unfitted(netlist)
        if part.maker not in NOT_BOUGHT
    )


def billed_is_fitted(netlist: Netlist, bill: Bill) -> tuple[Problem, ...]:
    """A fault for every fitted part that is not billed, and every billed one that is not fitted."""
    fitted = {c.ref for c in netlist.components if c.fitted and c.part.maker not in NOT_BOUGHT}
    billed = {ref for line in bill.lines for ref in line.refs}
    return tuple(
        Problem(
            "C011 fitted is billed",
            "shortfall",
            Place(key=ref),
            f"{ref} is {'fitted' if ref in fitted else 'billed'} only",
        )
        for ref in sorted(fitted ^ billed)
    )
