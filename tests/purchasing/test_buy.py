"""The order that is chosen: against every order there is, and against line_by_line buying."""

import tracemalloc
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from boardgen.purchasing.buy import buy
from boardgen.purchasing.market import market
from boardgen.purchasing.offer import Break, Offer
from boardgen.purchasing.order import Rate, SupplierTerms
from boardgen.purchasing.purchase_options import Requirement
from tests.purchasing.every_purchase import cheapest
from tests.purchasing.made_offers import RELAY, offer

DAY = date(2026, 11, 1)
PARTS = [replace(RELAY, key=f"part-{n}") for n in range(3)]
NAMES = ("A", "B", "C")
PRICES = st.sampled_from([Decimal(n).scaleb(-2) for n in (50, 80, 110, 150, 240)]) | st.integers(5, 30_000).map(
    lambda n: Decimal(n).scaleb(-4)
)
MOST = 14
SLOW = (HealthCheck.too_slow, HealthCheck.filter_too_much)


def amounts(low, high):
    return st.integers(low, high).map(lambda n: Decimal(n).scaleb(-2))


@st.composite
def terms(draw, name, currency):
    return SupplierTerms(
        name,
        currency,
        draw(st.sampled_from([Decimal(text) for text in ("0", "0.40", "0.75", "2.00", "9.00")])),
        draw(st.none() | amounts(1, 2500)),
        draw(st.sampled_from([Decimal(0), Decimal("1.50")])),
        draw(st.sampled_from([Decimal(0), Decimal(5), Decimal("14.975")])),
        draw(st.none() | st.none() | amounts(1, 1500)),
        DAY,
    )


@st.composite
def markets(draw):
    """Up to three suppliers with up to three parts, stock that may run short, requirements of one to three."""
    count = draw(st.integers(1, 3))
    names = NAMES[: draw(st.integers(1, 3 if count < 3 else 2))]
    of = {name: draw(st.sampled_from(["CAD", "CAD", "EUR", "JPY"])) for name in names}
    offers = []
    for part in PARTS[:count]:
        for name in names:
            if draw(st.integers(0, 6)) < 6:
                steps = sorted(draw(st.sets(st.integers(1, 12), min_size=1, max_size=3)))
                made = [(q, str(draw(PRICES))) for q in steps]
                offers.append(
                    offer(
                        *made,
                        part=part.key,
                        supplier=name,
                        order_code=part.key,
                        currency=of[name],
                        minimum=Decimal(draw(st.sampled_from([1, 1, 2, 5]))),
                        multiple=Decimal(draw(st.sampled_from(["1", "1", "2", "5", "0.5"]))),
                        stock=Decimal(draw(st.sampled_from((MOST, 9, 6, 4, 2, 0, 13)))),
                    )
                )
    requirements = []
    for number, part in enumerate(PARTS[:count]):
        others = [p for p in PARTS[:count] if p != part]
        allowed = draw(st.lists(st.sampled_from(others), unique_by=lambda p: p.key, max_size=1)) if others else []
        if number == 0 or draw(st.booleans()):
            requirements.append(Requirement(part, Decimal(draw(st.sampled_from((5, 3, 8, 1, 6)))), tuple(allowed)))
    free = {p: Decimal(draw(st.integers(1, 3))) for p in PARTS[:count] if draw(st.integers(0, 5)) == 5}
    return offers, [draw(terms(n, c)) for n, c in of.items()], requirements, free


RATES = (Rate("EUR", Decimal("1.4837"), DAY, ""), Rate("JPY", Decimal("0.00913"), DAY, ""))
BY_CURRENCY = {"CAD": 1, "EUR": Decimal("1.4837"), "JPY": Decimal("0.00913")}


def best_of_all(case, **options):
    """What trying every order finds; without a least order where none can be reached."""
    offers, asked, requirements, free = case
    rows = [(w.part.key, int(w.quantity), tuple(p.key for p in w.alternates)) for w in requirements]
    of = {part.key: [o for o in offers if o.part == part.key] for part in PARTS}
    in_hand = {part.key: int(n) for part, n in free.items()}
    by_name = {t.supplier: t for t in asked}
    return cheapest(rows, of.get, in_hand, by_name, BY_CURRENCY, "CAD", MOST, **options)


def chosen(case, **options):
    offers, asked, requirements, free = case
    made, problems = market(offers, asked, RATES, "CAD")
    assert problems == ()
    return buy(requirements, made, free, **options), made


def test_a_line_is_not_split_where_a_least_order_keeps_the_only_one_away_who_has_enough():
    """A has enough at a price below its least order, B and C have it together: the alternate is bought whole."""
    part, other = PARTS[:2]

    def at(part, supplier, price, stock):
        return Offer(
            part.key, supplier, part.key, "CAD", (Break(Decimal(1), Decimal(price)),), Decimal(1), Decimal(1),
            Decimal(stock), 5, DAY, False, "a list",
        )  # fmt: skip

    offers = [
        at(part, "A", "0.0005", 14),
        at(part, "B", "0.50", 6),
        at(part, "C", "0.0005", 6),
        at(other, "A", "0.50", 14),
    ]
    asked = [SupplierTerms(name, "CAD", minimum_order=Decimal("0.02") if name == "A" else None) for name in "ABC"]
    found, _ = chosen((offers, asked, [Requirement(part, Decimal(8), (other,))], {}))
    assert (found.total, found.bound, found.optimal) == (400, 400, True)


@pytest.mark.slow
@settings(max_examples=300, deadline=None, suppress_health_check=SLOW)
@given(markets())
def test_equals_the_best_of_all_orders(case):
    best = best_of_all(case)
    assume(best is not None)
    found, _ = chosen(case)
    assert (found.total, found.bound, found.optimal) == (best, best, True)
    in_a_moment, _ = chosen(case, time_limit_s=1e-9)
    assert in_a_moment.bound <= best
    assert not in_a_moment.allocations or in_a_moment.total >= best
    if found.line_by_line is not None:
        assert found.total <= found.line_by_line[0]


def test_nothing_is_bought_of_a_part_of_which_enough_is_in_hand():
    """Neither of one that several suppliers would have to share, although it would reach C's least order."""
    one, other = PARTS[:2]
    offers = [
        *(offer((1, "0.50"), part=one.key, supplier=name, order_code="x", stock=Decimal(6)) for name in "ABC"),
        *(offer((1, "0.50"), part=other.key, supplier=name, order_code="y") for name in "AB"),
        offer((1, "0.0005"), part=other.key, supplier="C", order_code="y", stock=Decimal(MOST)),
    ]
    terms = [SupplierTerms(n, "CAD", Decimal(0), None, Decimal(0), Decimal(0), None, DAY) for n in "AB"]
    terms.append(SupplierTerms("C", "CAD", Decimal(0), None, Decimal(0), Decimal(0), Decimal("0.02"), DAY))
    case = offers, terms, [Requirement(one, Decimal(1)), Requirement(other, Decimal(8), (one,))], {one: Decimal(1)}
    found, _ = chosen(case)
    assert found.total == best_of_all(case) == 400


@settings(max_examples=100, deadline=None, suppress_health_check=SLOW)
@given(markets())
def test_fewest_parcels_first_and_then_the_least_cost(case):
    best = best_of_all(case, key=lambda cost, parcels: (parcels, cost))
    assume(best is not None)
    found, _ = chosen(case, goal="fewest parcels")
    assert (len(found.paid), found.total) == best
    assert found.optimal


@pytest.mark.parametrize("goal", ["least cost", "fewest parcels"])
def test_time_that_runs_out_leaves_an_order_and_a_gap(goal):
    offers = [
        offer((1, "2.00"), (10, "1.50"), part=part.key, supplier=name, order_code=part.key)
        for part in PARTS
        for name in NAMES
    ]
    asked = [SupplierTerms(name, "CAD", Decimal(3), Decimal(20), as_of=DAY) for name in NAMES]
    requirements = [Requirement(part, Decimal(7)) for part in PARTS]
    found, _ = chosen((offers, asked, requirements, {}), time_limit_s=1e-9, goal=goal)
    assert len(found.allocations) == 3
    assert found.optimal or (0 < found.bound <= found.total and found.reason)


def test_no_wish_no_order():
    made, _ = market([], [], (), "CAD")
    found = buy((), made)
    assert (found.allocations, found.total, found.optimal) == ((), 0, True)


def only_relays(*offers, wanted=10, terms=(), **options):
    made, _ = market(offers, terms, (), "CAD")
    return buy([Requirement(RELAY, Decimal(wanted))], made, **options)


def test_two_more_are_bought_where_they_save_the_freight():
    """10 x 2.30 = 23.00 and 5.00 of freight; 11 x 2.30 = 25.30 goes free from 25.00 on."""
    asked = [SupplierTerms("Supplier A", "CAD", Decimal(5), Decimal(25), as_of=DAY)]
    found = only_relays(offer((1, "2.30")), terms=asked)
    assert (found.total, str(found.allocations[0].purchases[0].quantity), found.optimal) == (2530, "11", True)
    assert found.line_by_line == (2800, 1)


def test_a_least_order_is_reached_or_another_supplier_taken():
    cheap, dear = offer((1, "1.00")), offer((1, "1.41"), supplier="Supplier B")
    asked = [
        SupplierTerms("Supplier A", "CAD", minimum_order=Decimal("13.50"), as_of=DAY),
        SupplierTerms("Supplier B", "CAD", as_of=DAY),
    ]
    found = only_relays(cheap, dear, terms=asked)
    assert (found.total, str(found.allocations[0].purchases[0].quantity)) == (1400, "14")  # 10 x 1.41 is more
    found = only_relays(cheap, dear, terms=asked, wanted=9)
    assert (found.total, list(found.paid)) == (1269, ["Supplier B"])


def test_a_least_order_that_nothing_reaches_is_broken_rather_than_nothing_bought():
    asked = [SupplierTerms("Supplier A", "CAD", minimum_order=Decimal(500), as_of=DAY)]
    found = only_relays(offer((1, "1.00"), stock=Decimal(12)), terms=asked)
    assert (found.total, found.line_by_line) == (1000, None)


def test_a_line_is_split_only_where_nobody_has_enough():
    some = [offer((1, "1.00"), stock=Decimal(6)), offer((1, "1.20"), supplier="Supplier B", stock=Decimal(9))]
    found = only_relays(*some)
    assert sorted((p.offer.supplier, str(p.quantity)) for p in found.allocations[0].purchases) == [
        ("Supplier A", "6"),
        ("Supplier B", "4"),
    ]
    enough = only_relays(*some, wanted=8)
    assert (len(enough.allocations[0].purchases), enough.total) == (1, 960)


def test_too_few_everywhere_is_told_and_ordered_all_the_same():
    found = only_relays(offer((1, "1.00"), stock=Decimal(6)))
    assert (found.total, found.short_of_stock) == (1000, frozenset({RELAY}))


def test_a_rate_is_applied_to_what_the_supplier_is_paid():
    """3 x 333 = 999 JPY, with 10 % tax 1098.9 so 1099 JPY; at 0.00913 that is 10.03387, so 10.03 CAD."""
    asked = [SupplierTerms("Supplier A", "JPY", tax_percent=Decimal(10), as_of=DAY)]
    made, _ = market([offer((1, "333"), currency="JPY")], asked, RATES, "CAD")
    found = buy([Requirement(RELAY, Decimal(3))], made)
    money = found.paid["Supplier A"]
    assert (money.goods, money.tax, money.total, found.total) == (999, 100, 1099, 1003)


def test_parts_that_cost_next_to_nothing_take_no_longer():
    asked = [SupplierTerms("Supplier A", "CAD", Decimal(500), Decimal(900), as_of=DAY)]
    found = only_relays(offer((1, "0.00000001")), terms=asked)
    assert (found.total, found.optimal) == (50000, True)


def test_a_great_least_order_needs_no_great_memory():
    least = 100_000
    asked = SupplierTerms("A", "CAD", Decimal(9), None, Decimal(0), Decimal(0), Decimal(least), DAY)
    lines = [offer((1, "1.00"), part=part.key, supplier="A", order_code=part.key, stock=None) for part in PARTS]
    where, _ = market(lines, [asked], [], "CAD")
    tracemalloc.start()
    try:
        found = buy([Requirement(part, Decimal(3)) for part in PARTS], where)
        _, peak = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert found.total == 100 * least + 900
    assert peak < 60_000_000
