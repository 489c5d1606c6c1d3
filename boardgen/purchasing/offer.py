"""What a supplier asks for a part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal

from boardgen.model.part import Part
from boardgen.model.problem import Place

FAMILY = "*"
"""Ends the part key of an offer that holds for every part whose key begins so; in its order code the part's number."""


@dataclass(frozen=True, slots=True, order=True)
class Break:
    """From this quantity on, one piece or metre costs `unit_price`."""

    quantity: Decimal
    unit_price: Decimal


@dataclass(frozen=True, slots=True)
class Offer:
    """A part at one supplier. Quantities are in the part's unit (piece or m); None is not known.

    `breaks` rise in quantity. `invented` prices are for demonstration and cannot be ordered at. `place` is the file and
    line of its first row.
    """

    part: str
    supplier: str
    order_code: str
    currency: str
    breaks: tuple[Break, ...]
    minimum: Decimal
    multiple: Decimal
    stock: Decimal | None
    lead_days: int | None
    as_of: date
    invented: bool
    source: str
    place: Place = field(default=Place(), compare=False)

    def unit_price(self, quantity: Decimal) -> Decimal:
        """The price of one when this many are bought; below the first break, the first break's."""
        reached = [b.unit_price for b in self.breaks if b.quantity <= quantity]
        return reached[-1] if reached else self.breaks[0].unit_price


def covers(offer: Offer, part: Part) -> bool:
    """Whether the offer is of this part, by its key or by its family."""
    if offer.part.endswith(FAMILY):
        return part.key.startswith(offer.part.removesuffix(FAMILY))
    return offer.part == part.key


def offers_for(part: Part, offers: Sequence[Offer], currency: str) -> tuple[Offer, ...]:
    """The offers of this part in this currency. A supplier's own row for a part goes before his family row."""
    found = [offer for offer in offers if offer.currency == currency and covers(offer, part)]
    named = {offer.supplier for offer in found if offer.part == part.key}
    return tuple(
        replace(offer, part=part.key, order_code=offer.order_code.replace(FAMILY, part.number))
        if offer.part.endswith(FAMILY)
        else offer
        for offer in found
        if not (offer.part.endswith(FAMILY) and offer.supplier in named)
    )
