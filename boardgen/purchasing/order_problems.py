"""What an order falls short of, and what its buyer must be told."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta

from boardgen.model.problem import Place, Problem
from boardgen.purchasing.bill import PRICE_AGE_DAYS
from boardgen.purchasing.integer_scaling import amount_of
from boardgen.purchasing.money import plain
from boardgen.purchasing.order import Rate, SupplierOrder, SupplierTerms
from boardgen.purchasing.price_book import old
from boardgen.purchasing.sourcing import Sourcing
from boardgen.sizing.pins import KINDS as PINNED_KINDS

CHOSEN = {*PINNED_KINDS.values()} - {"capacitor"}
"""Kinds of which a specification may name another; another value of a capacitor is no choice."""


def order_problems(sourcing: Sourcing, suppliers: Sequence[SupplierOrder]) -> tuple[Problem, ...]:
    """Stock and least orders that are not kept, a gap in the proof, and old or invented figures.

    Old terms and rates count of all who might have sold: they too decided who does.
    """
    offers = [purchase.offer for allocation in sourcing.solution.allocations for purchase in allocation.purchases]
    on, currency = sourcing.request.on, sourcing.request.currency
    terms = [supplier.terms for supplier in sourcing.market.suppliers.values()]
    currencies = {one.currency for one in terms}
    given = sourcing.request.book.rates
    return (
        *_not_met(sourcing),
        *_stock_short(sourcing),
        *_stock_unused(sourcing),
        *below_minimum(suppliers),
        *_gap(sourcing),
        *old(offers, on, max((offer.as_of for offer in sourcing.request.book.offers), default=date.max)),
        *old_terms(terms, on),
        *old_rates([g.rate for g in given if g.to == currency and g.rate.currency in currencies], on),
        *invented(suppliers),
    )


def _not_met(sourcing: Sourcing) -> Iterator[Problem]:
    met = {number for allocation in sourcing.solution.allocations for number in allocation.covers}
    for number, demand in enumerate(sourcing.demands_to_buy):
        if number not in met:
            found = f"{demand.part.name} is not ordered: {sourcing.solution.reason or 'nothing meets all needs'}"
            hint = "Give it more time with --time-limit"
            yield Problem("not-ordered", "shortfall", Place(key=demand.part.key), found, "", hint)


def _stock_short(sourcing: Sourcing) -> Iterator[Problem]:
    for allocation in sourcing.solution.allocations:
        for purchase in allocation.purchases:
            if not purchase.in_stock and purchase.offer.stock is not None:
                has = f"{purchase.offer.supplier} has {plain(purchase.offer.stock)} of {plain(purchase.quantity)}"
                found = f"{allocation.part.name}: the suppliers have too few; {has}"
                hint = "Ask for the date of the rest, or split the order"
                yield Problem("stock-short", "shortfall", Place(key=allocation.part.key), found, "", hint)


def _stock_unused(sourcing: Sourcing) -> Iterator[Problem]:
    """What lies in stock of a kind that the boards take, and no board takes: stock, like prices, changes no design."""
    needed = {need.part.key: need.part.kind for board in sourcing.request.boards for need in board.needs}
    kinds = CHOSEN.intersection(needed.values())
    unused = [
        f"{plain(item.quantity)} of {part.name}"
        for key, item in sourcing.stock.items()
        if key not in needed and item.quantity and (part := sourcing.parts.get(key)) is not None and part.kind in kinds
    ]
    if unused:
        found = f"in stock, and taken by no board: {', '.join(unused)}"
        hint = "To build with one, name it under [parts] in the specification, and see by compare what that changes"
        yield Problem("stock-unused", "note", Place(key="stock"), found, "", hint)


def below_minimum(suppliers: Sequence[SupplierOrder]) -> Iterator[Problem]:
    """Orders that their supplier will not take."""
    for order in suppliers:
        least = order.terms.minimum_order
        if least is not None and order.goods < least:
            found = f"goods for {order.goods} {order.currency}"
            wanted = f"nothing is sold below {least} {order.currency}"
            hint = "Nothing else could meet all needs: ask, or add to the order"
            yield Problem("below-least-order", "shortfall", Place(key=order.supplier), found, wanted, hint)


def _gap(sourcing: Sourcing) -> Iterator[Problem]:
    solution, currency = sourcing.solution, sourcing.request.currency
    if not solution.optimal:
        gap = amount_of(solution.total - solution.bound, currency)
        found = f"an order that costs up to {gap} {currency} less may exist: {solution.reason or 'rounding'}"
        yield Problem("not-proven", "warning", Place(key="order"), found, "", "Give it more time with --time-limit")


def old_terms(terms: Iterable[SupplierTerms], on: date | None) -> Iterator[Problem]:
    """A warning for each supplier's terms that are old on that day; none without a day."""
    if on is None:
        return
    oldest = on - timedelta(days=PRICE_AGE_DAYS)
    for one in terms:
        if one.as_of is not None and one.as_of < oldest:
            found = f"the terms are of {one.as_of}, more than {PRICE_AGE_DAYS} days before {on}"
            yield Problem("terms-old", "warning", Place(key=one.supplier), found, "", "Ask for them again")


def old_rates(rates: Sequence[Rate], on: date | None) -> Iterator[Problem]:
    """The same for rates."""
    if on is None:
        return
    oldest = on - timedelta(days=PRICE_AGE_DAYS)
    for rate in rates:
        if rate.as_of < oldest:
            found = f"the rate of {rate.currency} is of {rate.as_of}, more than {PRICE_AGE_DAYS} days before {on}"
            yield Problem("rate-old", "warning", Place(key=rate.currency), found, "", "Look it up again")


def invented(suppliers: Sequence[SupplierOrder]) -> Iterator[Problem]:
    """One warning for all prices that nobody asks, and one for all terms."""
    count = sum(line.invented for order in suppliers for line in order.lines)
    if count:
        lines = "1 line is" if count == 1 else f"{count} lines are"
        found = f"{lines} priced at invented prices, for demonstration only"
        yield Problem("price-invented", "warning", Place(key="order"), found, "", "Give price files of your own")
    names = [order.supplier for order in suppliers if order.terms.invented]
    if names:
        found = f"freight, fee and tax of {', '.join(names)} are invented"
        yield Problem(
            "terms-invented", "warning", Place(key="order"), found, "", "Give their terms in a table of your own"
        )
