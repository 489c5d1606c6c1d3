"""What a bill falls short of, and what its reader must be told."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from decimal import Decimal

from boardgen.model.part import Part
from boardgen.model.problem import Place, Problem
from boardgen.purchasing.choose import Purchase
from boardgen.purchasing.money import plain
from boardgen.purchasing.offer import Offer, covers


def price_missing(part: Part, offers: Sequence[Offer], currency: str) -> Problem:
    """No offer of the part in the currency; says in which currencies there is one."""
    others = sorted({offer.currency for offer in offers if covers(offer, part)})
    return Problem(
        "price-missing",
        "shortfall",
        Place(key=part.key),
        f"{part.name} has no price in {currency}",
        f"there is one in {', '.join(others)}" if others else "",
        "Its line stays on the bill without a cost, and the totals leave it out",
    )


def stock_short(part: Part, purchase: Purchase) -> Problem:
    """No supplier has as many as are wanted."""
    offer = purchase.offer
    stock = plain(offer.stock or Decimal())
    return Problem(
        "stock-short",
        "shortfall",
        Place(key=part.key),
        f"{part.name}: no supplier has {plain(purchase.quantity)}; {offer.supplier} has {stock}",
        "",
        "Ask for the date of the rest, or split the order",
    )


def old_prices(purchases: Sequence[Purchase], on: date, age_days: int) -> list[Problem]:
    """One warning for all prices older than that on the day."""
    oldest_good = on - timedelta(days=age_days)
    dates = sorted(purchase.offer.as_of for purchase in purchases if purchase.offer.as_of < oldest_good)
    if not dates:
        return []
    found = f"{_lines(len(dates))} priced more than {age_days} days before {on}, the oldest on {dates[0]}"
    return [Problem("price-old", "warning", Place(key="order"), found, "", "Ask for prices again before ordering")]


def invented_prices(purchases: Sequence[Purchase]) -> list[Problem]:
    """One warning for all prices that nobody asks."""
    count = sum(purchase.offer.invented for purchase in purchases)
    if not count:
        return []
    found = f"{_lines(count)} priced at invented prices, for demonstration only"
    return [Problem("price-invented", "warning", Place(key="order"), found, "", "Give a price file of your own")]


def _lines(count: int) -> str:
    return "1 line is" if count == 1 else f"{count} lines are"
