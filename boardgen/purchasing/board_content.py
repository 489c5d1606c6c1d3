"""What one board takes, whether it is worked out or was built, and in what the two differ."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal

from msgspec import Struct, field

from boardgen.circuit.windings import WindingRow
from boardgen.model.part import Part
from boardgen.model.problem import Place, Problem
from boardgen.purchasing.money import plain
from boardgen.purchasing.needs import Need, Spares, joined

MOST_NAMED = 8
"""Differences of a board that are named; more are counted."""
Empty = tuple[tuple[str, ...], Part]
"""Designators of places that stay empty, and the part that would go there."""


class BoardContent(Struct, frozen=True):
    """A board as far as an order goes by it.

    Parameters
    ----------
    boards, spares, currency, paper : how many were asked for, with how many spares, in what money and on what paper.
    area_dm2 : of the bare board.
    empty : places that are not fitted.
    in_hand : how much is there of a part, by key; None for as much as is needed.

    """

    title: str
    revision: str
    boards: int
    spares: Spares
    currency: str
    paper: str
    area_dm2: Decimal
    needs: tuple[Need, ...]
    empty: tuple[Empty, ...] = ()
    windings: tuple[WindingRow, ...] = ()
    in_hand: Mapping[str, Decimal | None] = field(default_factory=dict)

    @property
    def parts(self) -> tuple[Part, ...]:
        """Every part that it takes or leaves out, once."""
        parts = (*(need.part for need in self.needs), *(part for _, part in self.empty))
        return tuple({part.key: part for part in parts}.values())


def differs_from_built(design: BoardContent, built: BoardContent, folder: str) -> Iterator[Problem]:
    """A shortfall where the design takes other parts, or more or fewer of one, than the board built in `folder`."""
    said = [] if design.revision == built.revision else [f"revision {design.revision} instead of {built.revision}"]
    now, then = _by_key(design), _by_key(built)
    for key in dict.fromkeys((*now, *then)):
        mine, theirs = now.get(key), then.get(key)
        if mine is None or theirs is None or mine.per_board != theirs.per_board or set(mine.refs) != set(theirs.refs):
            name = (mine or theirs).part.name  # type: ignore[union-attr]
            said.append(f"{name}: {_count(mine)} instead of {_count(theirs)}")
    more = len(said) - MOST_NAMED
    if said:
        found = "; ".join([*said[:MOST_NAMED], *([f"and {more} more"] if more > 0 else [])])
        yield Problem(
            "not-as-built",
            "shortfall",
            Place(folder),
            f"the board built there is not this design of {design.title}: {found}",
            "the parts of the board that was built",
            "Order that folder in the place of its specification, or build the board again",
        )


def _by_key(content: BoardContent) -> Mapping[str, Need]:
    return {need.part.key: need for need in joined(content.needs)}


def _count(need: Need | None) -> str:
    if need is None:
        return "none"
    amount = plain(need.per_board) + (" m" if need.unit == "m" else "")
    return f"{amount} ({' '.join(need.refs)})" if need.refs else amount
