"""Why an order is as it is: a sentence for each choice that would surprise who pays for it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from msgspec.structs import replace

from boardgen.purchasing.allocation import Allocation, landed, total
from boardgen.purchasing.choose import Purchase, choose, explain, purchase_of
from boardgen.purchasing.integer_scaling import amount_of, half_up_of, smallest_units
from boardgen.purchasing.market import Market, Payment, Supplier
from boardgen.purchasing.money import plain


def why_quantity(
    allocation: Allocation, purchase: Purchase, required: Decimal, market: Market, paid: Mapping[str, Payment]
) -> str:
    """Why so many; "" where it is simply what is required. A line that is split says so instead.

    Parameters
    ----------
    allocation, purchase
        The line, and one of its purchases.
    required
        What had to be bought, in the part's unit.
    market
        Who sells what.
    paid
        What each supplier of the order is paid.

    """
    offer, unit = purchase.offer, allocation.part.unit
    if len(allocation.purchases) > 1:
        if purchase is not allocation.purchases[0]:
            return ""
        return f"no supplier has {plain(required)}: bought from {len(allocation.purchases)}"
    least = purchase_of(offer, least_of(required, unit, purchase))
    if purchase.quantity > least.quantity and purchase.cost > least.cost:
        reached = _reached(market.suppliers[offer.supplier], paid[offer.supplier].goods)
        more = plain(purchase.quantity - least.quantity)
        return f"{more} more than the least, for the order to reach {reached}"
    return explain(required, unit, purchase)


def least_of(required: Decimal, unit: str, purchase: Purchase) -> Decimal:
    """The least that this offer sells of at least as many."""
    without_breaks = replace(purchase.offer, breaks=purchase.offer.breaks[:1], stock=None)
    return choose(required, unit, [without_breaks])[0].quantity


def _reached(supplier: Supplier, goods: int) -> str:
    """The limit that the order has reached: of two, the larger."""
    currency = supplier.terms.currency
    if supplier.free_from is not None and goods >= supplier.free_from >= (supplier.minimum or 0):
        return f"{amount_of(supplier.free_from, currency)} {currency}, from where freight is free"
    return f"the least order of {amount_of(supplier.minimum or 0, currency)} {currency}"


def why_supplier(allocation: Allocation, required: Decimal, market: Market, paid: Mapping[str, Payment]) -> str:
    """Names who asks less for the line, where the order does not go there."""
    if len(allocation.purchases) != 1:
        return ""
    taken = allocation.purchases[0]
    cost = _worth(taken, market)
    cheaper = [
        (_worth(p, market), p)
        for p in choose(required, allocation.part.unit, market.of(allocation.part))
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


def why_used(name: str, allocations: Sequence[Allocation], quantities: Sequence[Decimal], market: Market) -> str:
    """What it would cost to buy the lines of a supplier at the others of the order.

    `quantities` are those required, one an allocation.
    """
    others = {p.offer.supplier for allocation in allocations for p in allocation.purchases} - {name}
    if not others:
        return ""
    moved, bound, split = [], [], []
    for allocation, required in zip(allocations, quantities, strict=True):
        if all(p.offer.supplier != name for p in allocation.purchases):
            moved.append(allocation)
            continue
        if len(allocation.purchases) > 1:
            split.append(allocation.part.name)
            continue
        elsewhere = _best_at(allocation, required, others, market)
        if elsewhere is None:
            bound.append(allocation.part.name)
        else:
            moved.append(replace(allocation, purchases=(elsewhere,)))
    if bound:
        return f"no other supplier of this order has {_some(bound)}"
    if split:
        return f"no supplier has enough of {_some(split)}"
    more = total(landed(moved, market)) - total(landed(allocations, market))
    amount = f"{amount_of(abs(more), market.currency)} {market.currency}"
    if more > 0:
        return f"its lines, moved to the other suppliers of this order, would cost {amount} more in all"
    return f"its lines, moved to the others, would cost {amount} less, but miss a limit" if more else ""


def _some(names: Sequence[str]) -> str:
    return f"{', '.join(names[:3])}{f' and {len(names) - 3} more' if len(names) > 3 else ''}"


def why_unused(name: str, allocations: Sequence[Allocation], quantities: Sequence[Decimal], market: Market) -> str:
    """What the order would cost more if the lines that a supplier sells for less were bought there; "" for none.

    The parameters are those of `why_used`.
    """
    moved, lines, saved = [], 0, Fraction(0)
    for allocation, required in zip(allocations, quantities, strict=True):
        other = _best_at(allocation, required, {name}, market) if len(allocation.purchases) == 1 else None
        less = _worth(allocation.purchases[0], market) - _worth(other, market) if other else Fraction(0)
        if other is not None and less > 0:
            moved.append(replace(allocation, purchases=(other,)))
            lines += 1
            saved += less
        else:
            moved.append(allocation)
    if not lines:
        return ""
    more = total(landed(moved, market)) - total(landed(allocations, market))
    count = "1 line" if lines == 1 else f"{lines} lines"
    asks = f"{name} asks {_said(saved, market.currency)} less for {count}"
    if more <= 0:
        return asks
    return f"{asks}, but with freight, fee and tax the order would cost {_said(Fraction(more), market.currency)} more"


def _best_at(allocation: Allocation, required: Decimal, names: set[str], market: Market) -> Purchase | None:
    offers = [offer for offer in market.of(allocation.part) if offer.supplier in names]
    found = [p for p in choose(required, allocation.part.unit, offers) if p.in_stock]
    return min(found, key=lambda p: (_worth(p, market), p.rank)) if found else None


def _worth(purchase: Purchase, market: Market) -> Fraction:
    """What the line costs in the smallest unit of the order's currency, not rounded."""
    offer = purchase.offer
    return smallest_units(purchase.cost, offer.currency) * market.suppliers[offer.supplier].worth


def _said(units: Fraction, currency: str) -> str:
    return f"{amount_of(half_up_of(units), currency)} {currency}"
