"""What is said of a build on one screen."""

from decimal import Decimal

import pytest

from boardgen.documents.build_summary import board_cost
from boardgen.model.part import Part
from boardgen.purchasing.bare_board import AREA, SET_UP, bare_board_offers
from boardgen.purchasing.bill import bill
from boardgen.purchasing.needs import Need, Spares
from tests.purchasing.made_offers import offer

BOARD = Part("bare-board-150x120", "bare board", "any", "board", "board", "150x120", "read", "sheet")
BY_AREA = (
    offer((1, "24.00"), part=SET_UP, order_code="S"),
    offer((1, "12.40"), part=AREA, order_code="D", source="a letter"),
)
BY_SIZE = (offer((1, "9.50"), part=BOARD.key, source="list of 2 dm2 and more"),)


@pytest.mark.parametrize(
    ("offers", "said"),
    [
        (BY_SIZE, "9.50 CAD for one, Supplier A: size class up to 150x120 mm"),
        (
            bare_board_offers(BY_AREA, BOARD, Decimal(1), 1),
            "36.40 CAD for one, Supplier A: set-up 24.00 and 1 dm2 at 12.40; a letter",
        ),
        ((), "no price"),
    ],
)
def test_what_makes_the_price_of_a_board_is_no_matter_of_words(offers, said):
    made = bill([Need(BOARD, (), Decimal(1), "piece", spare=False)], offers, 1, Spares(Decimal(0)), "CAD")
    assert board_cost(made) == said
