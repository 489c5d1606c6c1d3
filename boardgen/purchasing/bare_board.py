"""The bare board as something that is bought: its price by area, and one of its own for each design.

By area a board house asks a set-up charge for each order and a price for each square decimetre. Boards of two designs
are never bought as one line.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal

from msgspec.structs import replace

from boardgen.model.part import Part
from boardgen.purchasing.money import plain, price_text, rounded
from boardgen.purchasing.needs import Need
from boardgen.purchasing.offer import FAMILY, Break, Offer
from boardgen.purchasing.price_book import offers_of

KIND = "bare board"
SET_UP, AREA = "board-rate-set-up", "board-rate-area"
"""Parts whose prices a supplier asks who prices by area."""
QUANTITIES = (1, 2, 3, 5, 10, 20, 50, 100)
"""Numbers of boards for which a price is worked out, beside the one that is asked for."""
CENT = Decimal("0.01")


def bare_board_offers(offers: Sequence[Offer], part: Part, area_dm2: Decimal, boards: int) -> tuple[Offer, ...]:
    """An offer of the part in pieces from each supplier who prices by area, set-up shared by the boards of an order.

    The price is exact for `boards` and for the numbers in QUANTITIES; between them it is that of the lower number,
    which is a little too high. Less than the supplier's least area is charged as that.

    Parameters
    ----------
    offers
        All offers; those of the parts SET_UP and AREA say who prices by area.
    part
        The bare board.
    area_dm2
        Its area.
    boards
        How many are bought.

    """
    set_ups = {(o.supplier, o.currency): o for o in offers if o.part == SET_UP}
    rates = (o for o in offers if o.part == AREA and (o.supplier, o.currency) in set_ups)
    return tuple(_offer(set_ups[r.supplier, r.currency], r, part, area_dm2, boards) for r in rates)


def _offer(set_up: Offer, rate: Offer, part: Part, area_dm2: Decimal, boards: int) -> Offer:
    once = set_up.breaks[0].unit_price
    whole = max(area_dm2 * boards, rate.minimum)
    story = (
        f"set-up {price_text(once, rate.currency)} and {plain(whole.quantize(CENT))} dm2 at "
        f"{price_text(rate.unit_price(whole), rate.currency)}; {rate.source}"
    )
    return Offer(
        part.key,
        rate.supplier,
        f"{set_up.order_code} + {rate.order_code}",
        rate.currency,
        tuple(_breaks(once, rate, area_dm2, {*QUANTITIES, boards})),
        Decimal(1),
        Decimal(1),
        None,
        rate.lead_days,
        min(set_up.as_of, rate.as_of),
        set_up.invented or rate.invented,
        story,
        by_area=True,
    )


def _breaks(once: Decimal, rate: Offer, area_dm2: Decimal, quantities: Iterable[int]) -> Iterable[Break]:
    for number in sorted(quantities):
        whole = max(area_dm2 * number, rate.minimum)
        yield Break(Decimal(number), rounded((once + whole * rate.unit_price(whole)) / number, rate.currency))


def with_own_board(needs: Iterable[Need], name: str, revision: str) -> tuple[Need, ...]:
    """The needs of a design with its bare board named after it: `name` and `revision` are those of the design."""
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
    # a key that ended with the mark of families would be read as one
    own = name.replace(FAMILY, "\N{ASTERISK OPERATOR}")
    return replace(part, key=f"{part.key} of {own}", number=f"{name}, revision {revision}: {part.number}")
