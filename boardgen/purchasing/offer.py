"""What a supplier asks for a part."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal

from msgspec import Struct
from msgspec.structs import astuple, replace

from boardgen.model.part import Part
from boardgen.model.problem import Place

FAMILY = "*"
"""Ends the part key of an offer that holds for every part whose key begins so; in its order code the part's number."""


class Break(Struct, frozen=True, order=True):
    """From this quantity on, one piece or metre costs `unit_price`."""

    quantity: Decimal
    unit_price: Decimal


class Offer(Struct, frozen=True, eq=False):
    """A part at one supplier. Quantities are in the part's unit (piece or m); None is not known.

    `breaks` rise in quantity. `invented` prices are for demonstration and cannot be ordered at. `place` is the file and
    line of its first row. The price of a bare board may be worked out `by_area`; `source` then says how.
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
    place: Place = Place()
    by_area: bool = False

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Offer) and self._told == other._told

    def __hash__(self) -> int:
        return hash(self._told)

    @property
    def _told(self) -> tuple[object, ...]:
        """All but the place: the same offer in two files is one."""
        *told, _, by_area = astuple(self)
        return (*told, by_area)

    def unit_price(self, quantity: Decimal) -> Decimal:
        """The price of one when this many are bought; below the first break, the first break's."""
        return price_at(self.breaks, quantity)


def price_at(breaks: Sequence[Break], quantity: Decimal) -> Decimal:
    """The price of one when this many are bought; below the first break, the first break's."""
    reached = [b.unit_price for b in breaks if b.quantity <= quantity]
    return reached[-1] if reached else breaks[0].unit_price


class Offers(Struct, frozen=True):
    """Offers found by the part that they are of, each with its place in the order that they came in."""

    by_key: Mapping[str, tuple[tuple[int, Offer], ...]]
    by_family: tuple[tuple[int, str, Offer], ...]

    def near(self, part: Part) -> tuple[Offer, ...]:
        """Those that cover the part, in their order."""
        families = ((n, offer) for n, before, offer in self.by_family if part.key.startswith(before))
        found = sorted((*self.by_key.get(part.key, ()), *families), key=lambda numbered: numbered[0])
        return tuple(offer for _, offer in found)


def found_by_part(offers: Iterable[Offer]) -> Offers:
    """Goes through the offers once, so that nobody has to for each part."""
    by_key: dict[str, list[tuple[int, Offer]]] = {}
    by_family = []
    for number, offer in enumerate(offers):
        if offer.part.endswith(FAMILY):
            by_family.append((number, offer.part.removesuffix(FAMILY), offer))
        else:
            by_key.setdefault(offer.part, []).append((number, offer))
    return Offers({key: tuple(numbered) for key, numbered in by_key.items()}, tuple(by_family))


def covers(offer: Offer, part: Part) -> bool:
    """Whether the offer is of this part, by its key or by its family."""
    if offer.part.endswith(FAMILY):
        return part.key.startswith(offer.part.removesuffix(FAMILY))
    return offer.part == part.key


def offers_for(part: Part, offers: Sequence[Offer], currency: str) -> tuple[Offer, ...]:
    """The offers of this part in this currency, those of families made out to it.

    A supplier's own row for a part goes before its family row.
    """
    found = [offer for offer in offers if offer.currency == currency and covers(offer, part)]
    named = {offer.supplier for offer in found if offer.part == part.key}
    return tuple(
        replace(offer, part=part.key, order_code=offer.order_code.replace(FAMILY, part.number))
        if offer.part.endswith(FAMILY)
        else offer
        for offer in found
        if not (offer.part.endswith(FAMILY) and offer.supplier in named)
    )
