"""Why an order is as it is: a sentence for each choice that would surprise who pays for it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from msgspec.structs import replace

from boardgen.purchasing.choose import Purchase, choose, explain, purchase_of
from boardgen.purchasing.deal import Deal, landed, total
from boardgen.purchasing.exact import amount_of, half_up_of, smallest_units
from boardgen.purchasing.market import Market, Money, Supplier
from boardgen.purchasing.money import plain


def why_quantity(deal: Deal, purchase: Purchase, wanted: Decimal, market: Market, paid: Mapping[str, Money]) -> str:
    """Why so many; "" where it is simply what is wanted. A line that is split says so instead."""
    offer, unit = purchase.offer, deal.part.unit
    if len(deal.purchases) > 1:
        return f"no supplier has {plain(wanted)}: bought from {len(deal.purchases)}"
    least = purchase_of(offer, least_of(wanted, unit, purchase))
    if purchase.quantity > least.quantity and purchase.cost > least.cost:
        reached = _reached(market.suppliers[offer.supplier], paid[offer.supplier].goods)
        more = plain(purchase.quantity - least.quantity)
        return f"{more} more than the least, for the order to reach {reached}"
    return explain(wanted, unit, purchase)


def least_of(wanted: Decimal, unit: str, purchase: Purchase) -> Decimal:
    """The least that this offer sells of at least as many."""
    without_breaks = replace(purchase.offer, breaks=purchase.offer.breaks[:1], stock=None)
    return choose(wanted, unit, [without_breaks])[0].quantity


def _reached(supplier: Supplier, goods: int) -> str:
    """The limit that the order has reached: of two, the larger."""
    currency = supplier.terms.currency
    if supplier.free_from is not None and goods >= supplier.free_from >= (supplier.minimum or 0):
        return f"{amount_of(supplier.free_from, currency)} {currency}, from where freight is free"
    return f"the least order of {amount_of(supplier.minimum or 0, currency)} {currency}"


def why_supplier(deal: Deal, wanted: Decimal, market: Market, paid: Mapping[str, Money]) -> str:
    """Names who asks less for the line, where the order does not go there."""
    if len(deal.purchases) != 1:
        return ""
    taken = deal.purchases[0]
    cost = _worth(taken, market)
    cheaper = [
        (_worth(p, market), p)
        for p in choose(wanted, deal.part.unit, market.of(deal.part))
        if p.in_stock and p.offer.supplier != taken.offer.supplier and _worth(p, market) < cost
    ]
    if not cheaper:
        return ""
    worth, other = min(cheaper, key=lambda pair: (pair[0], pair[1].rank))
    name = other.offer.supplier
    less = _said(cost - worth, market.currency)
    if name in paid:
        here = market.suppliers[taken.offer.supplier]
        if here.free_from is not None and paid[here.name].goods >= here.free_from:
            free = f"{amount_of(here.free_from, here.terms.currency)} {here.terms.currency}"
            return f"{name} asks {less} less; bought here for free freight from {free} on"
        return f"{name} asks {less} less, but the order as a whole costs less so"
    freight = _freight(market.suppliers[name], market.currency)
    return f"{name} asks {less} less, but gets no order{freight}"


def _freight(supplier: Supplier, currency: str) -> str:
    fixed = half_up_of((supplier.shipping + supplier.fee) * (1 + supplier.tax) * supplier.worth)
    return f": one there costs {amount_of(fixed, currency)} {currency} before any goods" if fixed else ""


def why_part(names: Sequence[str]) -> str:
    """Says of an alternate what it stands in for."""
    return f"in the place of {' and '.join(names)}, as approved" if names else ""


def why_used(name: str, deals: Sequence[Deal], wants: Sequence[Decimal], market: Market) -> str:
    """What it would cost to buy the lines of a supplier at the others of the order. `wants` go with the deals."""
    others = {p.offer.supplier for deal in deals for p in deal.purchases} - {name}
    if not others:
        return ""
    moved, bound = [], []
    for deal, wanted in zip(deals, wants, strict=True):
        if all(p.offer.supplier != name for p in deal.purchases):
            moved.append(deal)
            continue
        elsewhere = _best_at(deal, wanted, others, market) if len(deal.purchases) == 1 else None
        if elsewhere is None:
            bound.append(deal.part.name)
        else:
            moved.append(replace(deal, purchases=(elsewhere,)))
    if bound:
        some = f"{', '.join(bound[:3])}{f' and {len(bound) - 3} more' if len(bound) > 3 else ''}"
        return f"no other supplier of this order has {some}"
    more = total(landed(moved, market)) - total(landed(deals, market))
    amount = f"{amount_of(abs(more), market.currency)} {market.currency}"
    if more > 0:
        return f"its lines, moved to the other suppliers of this order, would cost {amount} more in all"
    return f"its lines, moved to the others, would cost {amount} less, but miss a limit" if more else ""


def why_unused(name: str, deals: Sequence[Deal], wants: Sequence[Decimal], market: Market) -> str:
    """What the order would cost more if the lines that a supplier sells for less were bought there; "" for none."""
    moved, lines, saved = [], 0, Fraction(0)
    for deal, wanted in zip(deals, wants, strict=True):
        other = _best_at(deal, wanted, {name}, market) if len(deal.purchases) == 1 else None
        less = _worth(deal.purchases[0], market) - _worth(other, market) if other else Fraction(0)
        if other is not None and less > 0:
            moved.append(replace(deal, purchases=(other,)))
            lines += 1
            saved += less
        else:
            moved.append(deal)
    if not lines:
        return ""
    more = total(landed(moved, market)) - total(landed(deals, market))
    count = "1 line" if lines == 1 else f"{lines} lines"
    asks = f"{name} asks {_said(saved, market.currency)} less for {count}"
    if more <= 0:
        return asks
    return f"{asks}, but with freight, fee and tax the order would cost {_said(Fraction(more), market.currency)} more"


def _best_at(deal: Deal, wanted: Decimal, names: set[str], market: Market) -> Purchase | None:
    offers = [offer for offer in market.of(deal.part) if offer.supplier in names]
    found = [p for p in choose(wanted, deal.part.unit, offers) if p.in_stock]
    return min(found, key=lambda p: (_worth(p, market), p.rank)) if found else None


def _worth(purchase: Purchase, market: Market) -> Fraction:
    """What the line costs in the smallest unit of the order's currency, not rounded."""
    offer = purchase.offer
    return smallest_units(purchase.cost, offer.currency) * market.suppliers[offer.supplier].worth


def _said(units: Fraction, currency: str) -> str:
    return f"{amount_of(half_up_of(units), currency)} {currency}"
