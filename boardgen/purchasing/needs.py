"""What one board needs: the fitted parts of its netlist, and what is bought beside them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import ROUND_CEILING, Decimal

from msgspec import Struct, field

from boardgen.model.extra import Extra
from boardgen.model.netlist import Component, Netlist
from boardgen.model.part import Part

NOT_BOUGHT = {"none"}
"""Makers of what is only copper, such as solder pads."""
STEP = {"piece": Decimal(1), "m": Decimal("0.1")}
"""To what each unit of quantity is rounded up."""


class Need(Struct, frozen=True):
    """So much of a part in one board, in `unit`; `spare` where some may be lost or broken in building."""

    part: Part
    refs: tuple[str, ...]
    per_board: Decimal
    unit: str
    spare: bool
    note: str = ""


class Spares(Struct, frozen=True):
    """Shares of the need, 0.1 for 10 %: one for all, and one for each kind of part that has its own."""

    fraction: Decimal
    by_kind: Mapping[str, Decimal] = field(default_factory=dict)

    def of(self, part: Part) -> Decimal:
        """The share for that part."""
        return self.by_kind.get(part.kind, self.fraction)


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
    if extra.part.unit == "m":
        # nobody cuts wire to less than a centimetre
        quantity = quantity.quantize(Decimal("0.01"), ROUND_CEILING)
    return Need(extra.part, (), quantity, extra.part.unit, extra.spare, extra.note)


def unfitted(netlist: Netlist) -> tuple[tuple[tuple[str, ...], Part], ...]:
    """Designators that stay empty, by part."""
    grouped: dict[str, list[Component]] = {}
    for component in netlist.components:
        if not component.fitted:
            grouped.setdefault(component.part.key, []).append(component)
    return tuple((tuple(c.ref for c in found), found[0].part) for found in grouped.values())


def needs_of_unfitted(empty: Iterable[tuple[tuple[str, ...], Part]]) -> tuple[Need, ...]:
    """The parts for the places that stay empty, for one board."""
    return tuple(
        Need(part, refs, Decimal(len(refs)), "piece", spare=True, note="for places left empty")
        for refs, part in empty
        if part.maker not in NOT_BOUGHT
    )


def joined(needs: Iterable[Need]) -> list[Need]:
    """Needs of the same part as one. Raises ValueError for a part in two units."""
    found: dict[str, Need] = {}
    for need in needs:
        before = found.get(need.part.key)
        if before is None:
            found[need.part.key] = need
            continue
        if before.unit != need.unit:
            raise ValueError("a part is needed in two units", need.part.key)
        found[need.part.key] = Need(
            before.part,
            before.refs + need.refs,
            before.per_board + need.per_board,
            before.unit,
            before.spare or need.spare,
            "; ".join(dict.fromkeys(note for note in (before.note, need.note) if note)),
        )
    return list(found.values())
