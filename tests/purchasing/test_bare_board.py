"""The price of a bare board from its area, worked by hand."""

from decimal import Decimal

import pytest

from boardgen.model.part import Part
from boardgen.purchasing.bare_board import AREA, SET_UP, bare_board_offers, own_board_offers, with_own_board
from boardgen.purchasing.bill import bill
from boardgen.purchasing.needs import Need, Spares
from boardgen.purchasing.offer import offers_for
from tests.purchasing.made_offers import offer

BOARD = Part("bare-board-150x120", "bare board", "any", "board", "board", "150x120", "read", "sheet")
OFFERS = (
    offer((1, "24.00"), part=SET_UP, order_code="S"),
    offer((1, "12.40"), (5, "9.10"), (20, "6.80"), part=AREA, order_code="D"),
    offer((1, "3.00"), part=SET_UP, supplier="half a supplier"),
    offer((5, "14.36"), part=BOARD.key, supplier="Supplier C", minimum=Decimal(5)),
)


@pytest.mark.parametrize(
    ("area", "boards", "unit_price"),
    [
        ("0.89", 1, "36.40"),  # less than the least area of 1 dm2: 24 + 12.40
        ("0.89", 2, "23.04"),  # (24 + 1.78 * 12.40)/2
        ("0.89", 7, "11.53"),  # (24 + 6.23 * 9.10)/7: the break of 5 dm2 is reached
        ("2.00", 10, "16.00"),  # (24 + 20 * 6.80)/10
    ],
)
def test_worked_by_hand(area, boards, unit_price):
    (found,) = bare_board_offers(OFFERS, BOARD, Decimal(area), boards)
    assert found.unit_price(Decimal(boards)) == Decimal(unit_price)
    assert found.part == BOARD.key
    assert found.order_code == "S + D"
    assert "set-up 24.00" in found.source


def test_more_boards_never_cost_more_each():
    (found,) = bare_board_offers(OFFERS, BOARD, Decimal("1.37"), 4)
    prices = [b.unit_price for b in found.breaks]
    assert prices == sorted(prices, reverse=True)
    assert Decimal(4) in {b.quantity for b in found.breaks}


def test_the_cheaper_way_is_taken():
    """One board by area costs 36.40; of the size class five must be bought for 71.80."""
    needs = [Need(BOARD, (), Decimal(1), "piece", spare=False)]
    offers = (*OFFERS, *bare_board_offers(OFFERS, BOARD, Decimal("0.89"), 1))
    (line,) = bill(needs, offers, 1, Spares(Decimal(0)), "CAD").lines
    assert line.purchase is not None
    assert (line.ordered, line.purchase.cost) == (1, Decimal("36.40"))
    assert [p.cost for p in line.alternatives] == [Decimal("71.80")]


def test_area_is_money():
    """A tenth less area is a tenth less of what the area costs."""
    large, small = (bare_board_offers(OFFERS, BOARD, Decimal(a), 1)[0].unit_price(Decimal(1)) for a in ("2.0", "1.8"))
    assert large - small == Decimal("0.2") * Decimal("12.40")


def test_nobody_prices_by_area():
    assert bare_board_offers(OFFERS[2:], BOARD, Decimal(1), 1) == ()


@pytest.mark.parametrize("title", ["Wood box", "Wood box *", "* and *", "*"])
def test_the_own_board_of_any_title_has_its_offers(title):
    needs = [Need(BOARD, (), Decimal(1), "piece", spare=False)]
    (own,) = with_own_board(needs, title, "A")
    offers = own_board_offers(needs, OFFERS, (), title, "A")
    assert [o.supplier for o in offers_for(own.part, offers, "CAD")] == ["Supplier C"]
    assert not own.part.key.endswith("*")
