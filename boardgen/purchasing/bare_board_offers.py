"""The price of a bare board from its area: a set-up charge an order, and a price for each square decimetre."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal

from boardgen.model.part import Part
from boardgen.purchasing.money import plain, price_text, rounded
from boardgen.purchasing.offer import Break, Offer

SET_UP, AREA = "board-rate-set-up", "board-rate-area"
"""Parts whose prices a supplier asks who prices by area."""
QUANTITIES = (1, 2, 3, 5, 10, 20, 50, 100)
"""Numbers of boards for which a price is worked out, beside the one that is wanted."""
CENT = Decimal("0.01")


def bare_board_offers(offers: Sequence[Offer], part: Part, area_dm2: Decimal, boards: int) -> tuple[Offer, ...]:
    """An offer of the part in pieces from each supplier who prices by area, set-up shared by the boards of an order.

    The price is exact for `boards` and for the numbers in QUANTITIES; between them it is that of the lower number,
    which is a little too high. Less than the supplier's least area is charged as that.
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
    )


def _breaks(once: Decimal, rate: Offer, area_dm2: Decimal, quantities: Iterable[int]) -> Iterable[Break]:
    for number in sorted(quantities):
        whole = max(area_dm2 * number, rate.minimum)
        yield Break(Decimal(number), rounded((once + whole * rate.unit_price(whole)) / number, rate.currency))
