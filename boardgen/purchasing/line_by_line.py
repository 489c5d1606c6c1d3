"""The baseline: every line bought where it is cheapest by itself, whatever freight and fees come to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from msgspec.structs import replace

from boardgen.model.part import Part
from boardgen.purchasing.allocation import Allocation, allocation_of, allocations_of, below_minimum, landed
from boardgen.purchasing.market import Market, Supplier, without
from boardgen.purchasing.program import order_program
from boardgen.purchasing.purchase_options import (
    Options,
    PurchaseOption,
    Requirement,
    SplitPurchase,
    purchase_options,
)


def line_by_line(
    requirements: Sequence[Requirement],
    market: Market,
    free: Mapping[Part, Decimal],
    any_stock: frozenset[Part],
    ready: Options | None = None,
) -> tuple[Allocation, ...] | None:
    """The allocations, or None where a requirement cannot be met so.

    A requirement is met by its own part where anybody sells it, else by the first of its alternates that is sold.
    Suppliers whose least order is not reached are given up, the smallest order first. `ready` are the options of these
    requirements where they were made already; the other parameters are those of `purchase_options`.
    """
    everybody = market
    while True:
        alone = not any(required.alternates for required in requirements)
        allocations = _cheapest_lines(requirements, market, everybody, free, any_stock, ready if alone else None)
        ready = None
        if allocations is None:
            return None
        short = below_minimum(landed(allocations, market), market)
        if not short:
            return allocations
        market = without(market, short[:1])


def _cheapest_lines(
    requirements: Sequence[Requirement],
    market: Market,
    everybody: Market,
    free: Mapping[Part, Decimal],
    any_stock: frozenset[Part],
    ready: Options | None,
) -> tuple[Allocation, ...] | None:
    numbers_of: dict[Part, list[int]] = {}
    for number, required in enumerate(requirements):
        sold = [part for part in (required.part, *required.alternates) if market.of(part) or free.get(part)]
        if not sold:
            return None
        numbers_of.setdefault(sold[0], []).append(number)
    joined = [
        Requirement(part, sum((requirements[n].quantity for n in numbers), Decimal()))
        for part, numbers in numbers_of.items()
    ]
    found: list[list[PurchaseOption]] = [[] for _ in joined]
    options, splits = ready or purchase_options(joined, market, free, any_stock)
    for option in options:
        found[option.covers[0]].append(option)
    chosen = {n: allocation_of(min(some, key=lambda o: _rank(o, market))) for n, some in enumerate(found) if some}
    for split in splits:
        required = joined[next(iter(split.quantities))]
        left = required.quantity - free.get(required.part, Decimal())
        # nobody splits a line that somebody has enough for, though that supplier's least order is not reached
        if any(offer.stock is None or offer.stock >= left for offer in everybody.of(required.part)):
            continue
        chosen |= {n: split_up for n in split.quantities if (split_up := _cheapest_split(split, market))}
    if len(chosen) < len(joined):
        return None
    return tuple(replace(chosen[n], covers=tuple(numbers)) for n, numbers in enumerate(numbers_of.values()))


def _cheapest_split(split: SplitPurchase, market: Market) -> Allocation | None:
    """The shares that cost least without freight, fee and tax."""
    only = replace(split, quantities={0: sum(split.quantities.values())})
    made = order_program(1, (), (only,), {n: _bare(s) for n, s in market.suppliers.items()}, minimum=False)
    answer = made.program.solve(None)
    allocations = allocations_of(made, answer) if answer.x is not None else None
    return allocations[0] if allocations else None


def _bare(supplier: Supplier) -> Supplier:
    return replace(supplier, shipping=0, free_from=None, fee=0, tax=Fraction(0), minimum=None)


def _rank(option: PurchaseOption, market: Market) -> tuple[Fraction, int, float, str, str]:
    """Cheapest first, then few, soon, and by name."""
    if option.offer is None:
        return Fraction(0), 0, 0.0, "", ""
    offer = option.offer.original
    days = float("inf") if offer.lead_days is None else offer.lead_days
    worth = market.suppliers[offer.supplier].worth
    return option.cost * worth, option.quantity, days, offer.supplier, offer.order_code
