"""The order that is chosen: against every order there is, and against naive buying."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

from every_purchase import cheapest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from made_offers import RELAY, offer

from boardgen.purchasing.buy import buy
from boardgen.purchasing.columns import Wish
from boardgen.purchasing.market import market
from boardgen.purchasing.order import Rate, SupplierTerms

DAY = date(2026, 11, 1)
PARTS = [replace(RELAY, key=f"part-{n}") for n in range(3)]
NAMES = ("A", "B", "C")
MOST = 14
SLOW = (HealthCheck.too_slow, HealthCheck.filter_too_much)


def amounts(low, high):
    return st.integers(low, high).map(lambda n: Decimal(n).scaleb(-2))


@st.composite
def terms(draw, name, currency):
    return SupplierTerms(
        name,
        currency,
        draw(amounts(0, 900)),
        draw(st.none() | amounts(1, 2500)),
        draw(st.sampled_from([Decimal(0), Decimal("1.50")])),
        draw(st.sampled_from([Decimal(0), Decimal(5), Decimal("14.975")])),
        draw(st.none() | amounts(1, 1500)),
        DAY,
    )


@st.composite
def markets(draw):
    """Up to three suppliers with up to three parts, stock that may run short, and wishes for one to three parts."""
    count = draw(st.integers(1, 3))
    names = NAMES[: draw(st.integers(1, 3 if count < 3 else 2))]
    of = {name: draw(st.sampled_from(["CAD", "CAD", "EUR", "JPY"])) for name in names}
    offers = []
    for part in PARTS[:count]:
        for name in names:
            if draw(st.integers(0, 4)):
                steps = sorted(draw(st.sets(st.integers(1, 12), min_size=1, max_size=3)))
                made = [(q, str(draw(st.integers(5, 30_000).map(lambda n: Decimal(n).scaleb(-4))))) for q in steps]
                offers.append(
                    offer(
                        *made,
                        part=part.key,
                        supplier=name,
                        order_code=part.key,
                        currency=of[name],
                        minimum=Decimal(draw(st.sampled_from([1, 1, 2, 5]))),
                        multiple=Decimal(draw(st.sampled_from(["1", "1", "2", "5", "0.5"]))),
                        stock=Decimal(draw(st.integers(0, MOST))),
                    )
                )
    wishes = []
    for number, part in enumerate(PARTS[:count]):
        others = [p for p in PARTS[:count] if p != part]
        allowed = draw(st.lists(st.sampled_from(others), unique_by=lambda p: p.key, max_size=1)) if others else []
        if number == 0 or draw(st.booleans()):
            wishes.append(Wish(part, Decimal(draw(st.integers(1, 8))), tuple(allowed)))
    free = {p: Decimal(draw(st.integers(1, 3))) for p in PARTS[:count] if draw(st.integers(0, 3)) == 0}
    return offers, [draw(terms(n, c)) for n, c in of.items()], wishes, free


RATES = (Rate("EUR", Decimal("1.4837"), DAY, ""), Rate("JPY", Decimal("0.00913"), DAY, ""))
BY_CURRENCY = {"CAD": 1, "EUR": Decimal("1.4837"), "JPY": Decimal("0.00913")}


def best_of_all(case, **options):
    """What trying every order finds; without a least order where none can be reached."""
    offers, asked, wishes, free = case
    rows = [(w.part.key, int(w.wanted), tuple(p.key for p in w.allowed)) for w in wishes]
    of = {part.key: [o for o in offers if o.part == part.key] for part in PARTS}
    in_hand = {part.key: int(n) for part, n in free.items()}
    by_name = {t.supplier: t for t in asked}
    return cheapest(rows, of.get, in_hand, by_name, BY_CURRENCY, "CAD", MOST, **options)


def chosen(case, **options):
    offers, asked, wishes, free = case
    made, problems = market(offers, asked, RATES, "CAD")
    assert problems == ()
    return buy(wishes, made, free, **options), made


@settings(max_examples=300, deadline=None, suppress_health_check=SLOW)
@given(markets())
def test_equals_the_best_of_all_orders(case):
    best = best_of_all(case)
    assume(best is not None)
    found, _ = chosen(case)
    assert (found.total, found.bound, found.optimal) == (best, best, True)
    if found.naive is not None:
        assert found.total <= found.naive[0]


@settings(max_examples=100, deadline=None, suppress_health_check=SLOW)
@given(markets())
def test_fewest_parcels_first_and_then_the_least_cost(case):
    best = best_of_all(case, key=lambda cost, parcels: (parcels, cost))
    assume(best is not None)
    found, _ = chosen(case, goal="fewest parcels")
    assert (len(found.paid), found.total) == best
    assert found.optimal
