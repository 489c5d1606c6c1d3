"""Naive buying, for comparison: every line where it is cheapest by itself, whatever freight and fees come to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from msgspec.structs import replace

from boardgen.model.part import Part
from boardgen.purchasing.columns import Column, Split, Wish, columns
from boardgen.purchasing.deal import Deal, below_minimum, deal_of, deals_of, landed
from boardgen.purchasing.market import Market, Supplier, without
from boardgen.purchasing.program import build

Wanted = dict[Part, list[int]]
"""The wishes by the part that is bought for them."""
Ways = tuple[Sequence[Column], Sequence[Split]]


def line_by_line(
    wishes: Sequence[Wish],
    market: Market,
    free: Mapping[Part, Decimal],
    any_stock: frozenset[Part],
    ready: Ways | None = None,
) -> tuple[Deal, ...] | None:
    """The deals, or None where a wish cannot be met so.

    A wish is met by its own part where anybody sells it, else by the first of the allowed parts that is sold.
    Suppliers whose least order is not reached are given up, the smallest order first. `ready` are the columns of these
    wishes where they were made already.
    """
    while True:
        alone = not any(wish.allowed for wish in wishes)
        deals = _cheapest_lines(wishes, market, free, any_stock, ready if alone else None)
        ready = None
        if deals is None:
            return None
        short = below_minimum(landed(deals, market), market)
        if not short:
            return deals
        market = without(market, short[:1])


def _cheapest_lines(
    wishes: Sequence[Wish],
    market: Market,
    free: Mapping[Part, Decimal],
    any_stock: frozenset[Part],
    ready: Ways | None,
) -> tuple[Deal, ...] | None:
    wanted: Wanted = {}
    for number, wish in enumerate(wishes):
        sold = [part for part in (wish.part, *wish.allowed) if market.of(part) or free.get(part)]
        if not sold:
            return None
        wanted.setdefault(sold[0], []).append(number)
    joined = [Wish(part, sum((wishes[n].wanted for n in numbers), Decimal())) for part, numbers in wanted.items()]
    found: list[list[Column]] = [[] for _ in joined]
    made, splits = ready or columns(joined, market, free, any_stock)
    for column in made:
        found[column.covers[0]].append(column)
    chosen = {n: deal_of(min(some, key=lambda c: _rank(c, market))) for n, some in enumerate(found) if some}
    for split in splits:
        chosen |= {n: deal for n in split.wants if (deal := _cheapest_split(split, market))}
    if len(chosen) < len(joined):
        return None
    return tuple(replace(chosen[n], covers=tuple(numbers)) for n, numbers in enumerate(wanted.values()))


def _cheapest_split(split: Split, market: Market) -> Deal | None:
    """The shares that cost least without freight, fee and tax."""
    only = replace(split, wants={0: sum(split.wants.values())})
    built = build(1, (), (only,), {n: _bare(s) for n, s in market.suppliers.items()}, minimum=False)
    answer = built.program.solve(None)
    deals = deals_of(built, answer) if answer.x is not None else None
    return deals[0] if deals else None


def _bare(supplier: Supplier) -> Supplier:
    return replace(supplier, shipping=0, free_from=None, fee=0, tax=Fraction(0), minimum=None)


def _rank(column: Column, market: Market) -> tuple[Fraction, int, float, str, str]:
    """Cheapest first, then few, soon, and by name."""
    if column.lot is None:
        return Fraction(0), 0, 0.0, "", ""
    offer = column.lot.offer
    days = float("inf") if offer.lead_days is None else offer.lead_days
    worth = market.suppliers[offer.supplier].worth
    return column.cost * worth, column.quantity, days, offer.supplier, offer.order_code
