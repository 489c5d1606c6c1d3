"""The cheapest honest purchase: against every quantity that can be bought, and against sums done by hand."""

from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Decimal
from itertools import count

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boardgen.purchasing.choose import choose, describe, explain
from boardgen.purchasing.offer import Offer
from tests.purchasing.made_offers import offer, offers

CENTS = {"CAD": Decimal("0.01"), "JPY": Decimal(1), "KWD": Decimal("0.001")}


def every_purchase(wanted: Decimal, unit: str, at: Offer) -> Iterator[tuple[object, ...]]:
    """All that can be bought up to far beyond the last break, as the key by which the best is the least."""
    for number in count(1):
        quantity = number * at.multiple
        if quantity > 200:
            return
        whole = quantity == int(quantity)
        if quantity < max(wanted, at.minimum, at.breaks[0].quantity) or (unit == "piece" and not whole):
            continue
        price = max((b.quantity, b.unit_price) for b in at.breaks if b.quantity <= quantity)[1]
        cost = (quantity * price).quantize(CENTS[at.currency], ROUND_HALF_UP)
        days = 1e9 if at.lead_days is None else at.lead_days
        short = at.stock is not None and at.stock < quantity
        yield short, cost, quantity, days, at.supplier, at.order_code


@given(st.integers(1, 700), st.sampled_from(["piece", "m"]), st.lists(offers(), min_size=1, max_size=4))
def test_equals_the_best_of_every_quantity(tenths: int, unit: str, made: list[Offer]) -> None:
    wanted = Decimal(tenths) / 10 if unit == "m" else Decimal(-(-tenths // 10))
    best = min(key for at in made for key in every_purchase(wanted, unit, at))
    chosen = choose(wanted, unit, made)
    first = chosen[0]
    assert (not first.in_stock, first.cost, first.quantity) == best[:3]
    assert (first.offer.supplier, first.offer.order_code) == best[4:]
    assert len(chosen) == len(made)


def bought(wanted: int, *made: Offer) -> tuple[str, str, str]:
    first = choose(Decimal(wanted), "piece", made)[0]
    return first.offer.supplier, str(first.quantity), str(first.cost)


@pytest.mark.parametrize(
    ("wanted", "quantity", "cost"),
    [
        (7, "7", "8.40"),  # 7 x 1.20; ten would be 8.50
        (8, "10", "8.50"),  # 8 x 1.20 = 9.60; 10 x 0.85 is less
        (10, "10", "8.50"),
        (20, "20", "17.00"),  # 25 x 0.72 = 18.00 is more
        (22, "25", "18.00"),  # 22 x 0.85 = 18.70
        (99, "99", "71.28"),  # 99 x 0.72; a hundred would be 72.00 x 1
    ],
)
def test_more_are_bought_only_where_they_cost_less(wanted: int, quantity: str, cost: str) -> None:
    at = offer((1, "1.20"), (10, "0.85"), (25, "0.72"), (100, "0.72"))
    assert bought(wanted, at) == ("Supplier A", quantity, cost)


def test_says_why_more_are_bought() -> None:
    at = offer((1, "1.20"), (10, "0.85"))
    first = choose(Decimal(8), "piece", [at])[0]
    assert explain(Decimal(8), "piece", first) == "10 cost less than 8: 9.60 CAD for 8, 8.50 CAD for 10"


@pytest.mark.parametrize(
    ("changes", "quantity", "why"),
    [
        ({}, "8", ""),
        ({"minimum": Decimal(20)}, "20", "the least sold is 20"),
        ({"multiple": Decimal(5)}, "10", "sold in multiples of 5"),
        ({"minimum": Decimal(12), "multiple": Decimal(5)}, "15", "sold in multiples of 5"),
        ({"multiple": Decimal("2.5")}, "10", "sold in multiples of 2.5"),
    ],
)
def test_minimum_and_multiple(changes: dict[str, Decimal], quantity: str, why: str) -> None:
    first = choose(Decimal(8), "piece", [offer((1, "1"), **changes)])[0]
    assert str(first.quantity) == quantity
    assert explain(Decimal(8), "piece", first) == why


def test_nothing_is_sold_below_the_first_break() -> None:
    first = choose(Decimal(8), "piece", [offer((25, "1"))])[0]
    assert (str(first.quantity), explain(Decimal(8), "piece", first)) == ("25", "the least sold is 25")


def test_wire_is_bought_by_the_spool() -> None:
    first = choose(Decimal("26.3"), "m", [offer((25, "0.30"), multiple=Decimal(25))])[0]
    assert (str(first.quantity), str(first.cost)) == ("50", "15.00")
    assert explain(Decimal("26.3"), "m", first) == "sold in multiples of 25 m"


def test_ties_go_to_the_smaller_then_the_sooner_then_the_name() -> None:
    a, b = offer((1, "2")), offer((1, "2"), supplier="Supplier B")
    ten_for_the_same = offer((10, "1.60"), supplier="Supplier 0")
    sooner = offer((1, "2"), supplier="Supplier Z", lead_days=4)
    unknown = offer((1, "2"), supplier="Supplier 1", lead_days=None)
    assert bought(8, b, a, ten_for_the_same, unknown) == ("Supplier A", "8", "16.00")
    assert bought(8, a, b, sooner) == ("Supplier Z", "8", "16.00")


def test_stock_goes_before_price() -> None:
    cheap = offer((1, "1"), stock=Decimal(7))
    dear = offer((1, "3"), supplier="Supplier B", stock=Decimal(8))
    assert bought(8, cheap, dear) == ("Supplier B", "8", "24.00")
    assert bought(7, cheap, dear) == ("Supplier A", "7", "7.00")
    # More than is in stock is not bought to reach a cheaper break.
    assert bought(8, offer((1, "2"), (10, "1"), stock=Decimal(9))) == ("Supplier A", "8", "16.00")


def test_no_offer_no_purchase() -> None:
    assert choose(Decimal(1), "piece", []) == ()


def test_a_purchase_in_words() -> None:
    first = choose(Decimal(8), "piece", [offer((1, "0.0125"), stock=Decimal(3))])[0]
    assert describe(first) == "Supplier A: 8 at 0.0125 = 0.10 CAD, 5 days, stock 3"
