"""What the parts of one board cost, for many boards that differ little: a part in some quantity is priced once."""

from __future__ import annotations

import functools
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from decimal import Decimal

from boardgen.model.extra import Extra
from boardgen.model.part import Part
from boardgen.purchasing.bill import bill_line, board_value
from boardgen.purchasing.needs import NOT_BOUGHT, Need, Spares, joined, need_of_extra
from boardgen.purchasing.offer import Offer, found_by_part

UNPRICED_COST = 100.0
"""What a part without a price counts for when boards are compared."""
MOST_KEPT = 4096
BoardCost = Callable[[Counter[Part], Iterable[Extra]], float]


def board_cost(offers: Sequence[Offer], currency: str) -> BoardCost:
    """A function that gives the cost of so many fitted parts and of what is bought beside them, without spares.

    Parameters
    ----------
    offers
        All offers.
    currency
        That of the costs, three capitals as in ISO 4217.

    Returns
    -------
    The cost as a float, for comparisons only; it raises ValueError for a part that is needed in two units.

    """
    by_part = found_by_part(offers)
    no_spares = Spares(Decimal(0))

    @functools.lru_cache(MOST_KEPT)
    def value(part: Part, per_board: Decimal, unit: str) -> float | Decimal:
        line = bill_line(Need(part, (), per_board, unit, spare=False), by_part, 1, no_spares, currency)
        return UNPRICED_COST if line.purchase is None else board_value(line, currency)

    def cost(fitted: Counter[Part], extras: Iterable[Extra]) -> float:
        bought = ((part, Decimal(count)) for part, count in fitted.items() if part.maker not in NOT_BOUGHT)
        on_board = (Need(part, (), count, "piece", spare=True) for part, count in bought)
        whole = joined((*on_board, *(need_of_extra(extra) for extra in extras)))
        values = [value(need.part, need.per_board, need.unit) for need in whole]
        priced = sum((v for v in values if isinstance(v, Decimal)), Decimal())
        return float(priced) + sum(v for v in values if isinstance(v, float))

    return cost
