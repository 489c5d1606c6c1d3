"""The cheapest purchase of one part over all suppliers and quantities."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from msgspec import Struct

from boardgen.purchasing.money import plain, price_text, round_up, rounded
from boardgen.purchasing.offer import Offer


class Purchase(Struct, frozen=True):
    """So many of an offer. `in_stock` is false only where the supplier is known to have fewer."""

    offer: Offer
    quantity: Decimal
    unit_price: Decimal
    cost: Decimal

    @property
    def in_stock(self) -> bool:
        """Whether the supplier has as many, as far as is known."""
        return self.offer.stock is None or self.offer.stock >= self.quantity

    @property
    def rank(self) -> tuple[bool, Decimal, Decimal, float, str, str]:
        """Sorts the best first: in stock, cheap, few, soon, then by name so that the order is defined."""
        days = float("inf") if self.offer.lead_days is None else self.offer.lead_days
        return (not self.in_stock, self.cost, self.quantity, days, self.offer.supplier, self.offer.order_code)


def choose(required: Decimal, unit: str, offers: Sequence[Offer]) -> tuple[Purchase, ...]:
    """The best purchase of at least `required`, in `unit`, from each offer, the best of all first.

    A quantity reaches the offer's minimum and is a multiple of its multiple; of a "piece" only whole ones are bought.
    More than is required is taken where it costs less in total. A purchase the stock covers goes before any that it
    does not. Ties go to the smaller quantity, then the sooner, then the supplier's name.
    """
    best = (min(_purchases(required, unit, offer), key=lambda purchase: purchase.rank) for offer in offers)
    return tuple(sorted(best, key=lambda purchase: purchase.rank))


def purchase_of(offer: Offer, quantity: Decimal) -> Purchase:
    """What this many cost there, the line rounded half up."""
    unit_price = offer.unit_price(quantity)
    return Purchase(offer, quantity, unit_price, rounded(quantity * unit_price, offer.currency))


def explain(required: Decimal, unit: str, purchase: Purchase) -> str:
    """Why this quantity was taken, in a sentence; empty where it is simply what is required."""
    offer, bought = purchase.offer, purchase.quantity
    least = _least(required, unit, offer)
    metres = " m" if unit == "m" else ""
    reasons = []
    if bought > least:
        smaller = purchase_of(offer, least)
        costs = f"{smaller.cost} {offer.currency} for {plain(least)}, {purchase.cost} {offer.currency} for"
        reasons.append(f"{plain(bought)} cost less than {plain(least)}: {costs} {plain(bought)}")
    if required < least == _floor(offer):
        reasons.append(f"the least sold is {plain(least)}{metres}")
    elif required < least:
        reasons.append(f"sold in multiples of {plain(offer.multiple)}{metres}")
    return "; ".join(reasons)


def describe(purchase: Purchase) -> str:
    """The purchase in words, for a list of alternatives."""
    offer = purchase.offer
    price = price_text(purchase.unit_price, offer.currency)
    text = f"{offer.supplier}: {plain(purchase.quantity)} at {price} = {purchase.cost} {offer.currency}"
    if offer.lead_days is not None:
        text += f", {offer.lead_days} days"
    return text if purchase.in_stock else f"{text}, stock {plain(offer.stock or Decimal())}"


def _purchases(required: Decimal, unit: str, offer: Offer) -> Iterator[Purchase]:
    """Within a price break fewer never cost more, so the least quantity of each break is enough to look at."""
    yield purchase_of(offer, _least(required, unit, offer))
    for price_break in offer.breaks:
        yield purchase_of(offer, _least(max(required, price_break.quantity), unit, offer))


def _least(required: Decimal, unit: str, offer: Offer) -> Decimal:
    return round_up(max(required, _floor(offer)), step_of(unit, offer.multiple))


def step_of(unit: str, multiple: Decimal) -> Decimal:
    """What divides every quantity that is bought: of a "piece" only whole ones are."""
    # the numerator of the multiple in lowest terms is the least whole number that is a multiple of it
    return Decimal(multiple.as_integer_ratio()[0]) if unit == "piece" else multiple


def _floor(offer: Offer) -> Decimal:
    """Below the first price break there is no price, so nothing is sold."""
    return max(offer.minimum, offer.breaks[0].quantity)
