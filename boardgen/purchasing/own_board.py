"""The bare board of each design as a part of its own: boards of two designs are never bought as one line."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec.structs import replace

from boardgen.model.part import Part
from boardgen.purchasing.needs import Need
from boardgen.purchasing.offer import Offer
from boardgen.purchasing.price_book import offers_of

KIND = "bare board"


def with_own_board(needs: Iterable[Need], name: str, revision: str) -> tuple[Need, ...]:
    """The needs of a design with its bare board named after it."""
    return tuple(
        replace(need, part=_own(need.part, name, revision)) if need.part.kind == KIND else need for need in needs
    )


def own_board_offers(
    needs: Iterable[Need], by_size: Sequence[Offer], by_area: Sequence[Offer], name: str, revision: str
) -> tuple[Offer, ...]:
    """Every offer of its size class, and those that its area makes, for the bare board of a design."""
    found: list[Offer] = []
    for part in (need.part for need in needs if need.part.kind == KIND):
        offers = (*offers_of([part], by_size), *(offer for offer in by_area if offer.part == part.key))
        found += [replace(offer, part=_own(part, name, revision).key) for offer in offers]
    return tuple(found)


def _own(part: Part, name: str, revision: str) -> Part:
    return replace(part, key=f"{part.key} of {name}", number=f"{name}, revision {revision}: {part.number}")
