"""The bare board of each design as a part of its own: boards of two designs are never bought as one line."""

from __future__ import annotations

from msgspec.structs import replace

from boardgen.design import Design
from boardgen.model.part import Part
from boardgen.purchasing.needs import Need
from boardgen.purchasing.offer import Offer
from boardgen.purchasing.price_book import PriceBook, offers_of

KIND = "bare board"


def with_own_board(design: Design, name: str) -> tuple[Need, ...]:
    """The needs of a design with its bare board named after it."""
    return tuple(
        replace(need, part=_own(need.part, design, name)) if need.part.kind == KIND else need for need in design.needs
    )


def own_board_offers(design: Design, name: str, book: PriceBook) -> tuple[Offer, ...]:
    """Every offer of its size class, and those that its area makes, for the bare board of a design."""
    found = []
    for part in (need.part for need in design.needs if need.part.kind == KIND):
        priced = (offer for offer in design.priced[len(design.offers) :] if offer.part == part.key)
        offers = (*offers_of([part], book.offers), *priced)
        found += [replace(offer, part=_own(part, design, name).key) for offer in offers]
    return tuple(found)


def _own(part: Part, design: Design, name: str) -> Part:
    return replace(
        part,
        key=f"{part.key} of {name}",
        number=f"{name}, revision {design.spec.revision}: {part.number}",
    )
