"""Quantity discounts as in a textbook, by the code that chooses orders.

Source, recalled: Jay Heizer and Barry Render, Operations Management, chapter on inventory, the worked example of a
quantity discount: 5000 a year, 49 for each order, 20 % of the price a year for holding; a piece costs 5.00 below a
thousand, 4.80 from 1000 on, 4.75 from 2000 on. Its economic quantities are 700, 714 and 718, raised to 700, 1000 and
2000; a year costs 25700, 24725 and 24822.50, so orders of 1000 are the best.
"""

from datetime import date
from decimal import Decimal
from math import sqrt

import pytest

from boardgen.model.part import Part
from boardgen.purchasing.buy import buy
from boardgen.purchasing.integer_scaling import SCALE, scaled_offer
from boardgen.purchasing.market import market
from boardgen.purchasing.offer import Break, Offer
from boardgen.purchasing.order import SupplierTerms
from boardgen.purchasing.purchase_options import Requirement

YEAR, ORDERING, HOLDING = 5000, 49, Decimal("0.20")
BREAKS = ((1, "5.00"), (1000, "4.80"), (2000, "4.75"))
ECONOMIC = (700, 714, 718)
RAISED = (700, 1000, 2000)
YEARLY = (2570000, 2472500, 2482250)
DAY = date(2026, 11, 1)
CAR = Part("car", "toy", "Maker", "C", "toy car", "", "recalled", "a textbook")


def offer(name: str, *breaks: tuple[int, str]) -> Offer:
    made = tuple(Break(Decimal(quantity), Decimal(price)) for quantity, price in breaks)
    return Offer("car", name, "C", "USD", made, Decimal(1), Decimal(1), None, None, DAY, False, "a textbook")


def economic(price: str) -> int:
    """The economic order quantity: the root of twice the need times the cost of ordering over that of holding."""
    return round(sqrt(2 * YEAR * ORDERING / float(HOLDING * Decimal(price))))


def test_the_economic_quantities_are_raised_to_their_breaks():
    made = scaled_offer(offer("one", *BREAKS), "piece")
    found = [economic(price) for _, price in BREAKS]
    assert tuple(found) == ECONOMIC
    raised = [made.least(max(q * SCALE, b.low)) // SCALE for q, b in zip(found, made.breaks, strict=True)]
    assert tuple(raised) == RAISED


@pytest.mark.parametrize("left", [(0, 1, 2), (0, 2), (0,), (2,)])
def test_the_year_costs_what_the_book_says(left):
    """Each way to buy is a supplier whose freight is what ordering and holding cost in a year."""
    offers, terms = [], []
    for number in left:
        (_, price), quantity = BREAKS[number], RAISED[number]
        ordering = Decimal(YEAR) / quantity * ORDERING
        holding = Decimal(quantity) / 2 * HOLDING * Decimal(price)
        offers.append(offer(f"orders of {quantity}", (1, price)))
        terms.append(SupplierTerms(f"orders of {quantity}", "USD", ordering + holding, as_of=DAY))
    made, _ = market(offers, terms, (), "USD")
    best = min(left, key=lambda number: YEARLY[number])
    found = buy([Requirement(CAR, Decimal(YEAR))], made)
    assert list(found.paid) == [f"orders of {RAISED[best]}"]
    assert (found.total, found.optimal) == (YEARLY[best], True)
