"""Tables of terms, rates, stock and approvals: a bad row is named with its line, and the rest holds."""

from datetime import date
from decimal import Decimal

import pytest
from msgspec.structs import replace

from boardgen.model.problem import Place
from boardgen.purchasing.alternates import read_approvals
from boardgen.purchasing.order import Rate, SupplierTerms
from boardgen.purchasing.price_book import offers_of, old, one_of_each
from boardgen.purchasing.price_tables import read_rates, read_terms
from boardgen.purchasing.stock import read_stock
from tests.purchasing.made_offers import RELAY, RESISTOR, offer

TERMS = "supplier,currency,shipping,free_from,order_fee,tax_percent,minimum_order,as_of,source\n"
GOOD_TERMS = "S,CAD,9.50,75,4,14.975,15,2026-11-01,a letter\n"
RATES = "from,to,rate,as_of,source\n"
STOCK = "part,quantity,note\n"
ALTERNATES = "part,alternate,source\n"


def test_terms():
    (row,), problems = read_terms(TERMS + GOOD_TERMS, "s.csv")
    assert problems == ()
    assert row == SupplierTerms(
        "S",
        "CAD",
        Decimal("9.50"),
        Decimal(75),
        Decimal(4),
        Decimal("14.975"),
        Decimal(15),
        date(2026, 11, 1),
        "a letter",
    )


def test_what_a_supplier_does_not_ask_may_be_blank():
    (row,), problems = read_terms(TERMS + "S,EUR,0,,,,,2026-11-01,invented\n", "s.csv")
    assert problems == ()
    assert (row.free_from, row.order_fee, row.tax_percent, row.minimum_order, row.invented) == (None, 0, 0, None, True)


@pytest.mark.parametrize(
    ("read", "text", "line", "found"),
    [
        (read_terms, TERMS + "S,CAD,,,,,,2026-11-01,x\n" + GOOD_TERMS, 2, "shipping is blank"),
        (read_terms, TERMS + "S,CAD,-1,,,,,2026-11-01,x\n" + GOOD_TERMS, 2, "shipping '-1' is negative"),
        (read_terms, TERMS + "S,cad,1,,,,,2026-11-01,x\n" + GOOD_TERMS, 2, "currency 'cad' is not a currency code"),
        (read_terms, TERMS + "S,CAD,1,0,,,,2026-11-01,x\n" + GOOD_TERMS, 2, "free_from is 0"),
        (read_terms, TERMS + "S,CAD,1,,,101,,2026-11-01,x\n" + GOOD_TERMS, 2, "tax_percent is 101"),
        (read_terms, TERMS + "S,CAD,1,,,5 %,,2026-11-01,x\n" + GOOD_TERMS, 2, "tax_percent '5 %' is not a number"),
        (read_terms, TERMS + "S,CAD,1,,,,,yesterday,x\n" + GOOD_TERMS, 2, "as_of 'yesterday' is not a day"),
        (read_terms, TERMS + GOOD_TERMS + GOOD_TERMS, 3, "a second row for S in CAD"),
        (read_rates, RATES + "EUR,EUR,1,2026-11-01,x\nEUR,CAD,1.5,2026-11-01,x\n", 2, "from and to are both EUR"),
        (read_rates, RATES + "EUR,CAD,0,2026-11-01,x\nEUR,CAD,1.5,2026-11-01,x\n", 2, "rate is 0"),
        (
            read_rates,
            RATES + "EUR,CAD,1.5,2026-11-01,x\nEUR,CAD,1.6,2026-11-01,x\n",
            3,
            "a second rate from EUR to CAD",
        ),
        (read_stock, STOCK + "a,x,\na,2,\n", 2, "quantity 'x' is not a number"),
        (read_stock, STOCK + "a,2,\na,3,\n", 3, "a a second time"),
        (read_stock, STOCK + ",2,\na,3,\n", 2, "part is blank"),
        (read_approvals, ALTERNATES + "a,a,me\na,b,me\n", 2, "a in the place of itself"),
        (read_approvals, ALTERNATES + "a,,me\na,b,me\n", 2, "alternate is blank"),
    ],
)
def test_a_bad_row_is_named_and_the_rest_holds(read, text, line, found):
    rows, problems = read(text, "t.csv")
    assert len(rows) == 1
    assert [(p.place, p.severity, p.found) for p in problems] == [(Place("t.csv", line), "shortfall", found)]


@pytest.mark.parametrize(
    ("read", "text"),
    [(read_terms, "supplier,currency\nS,CAD\n"), (read_rates, "from,to\n"), (read_stock, ""), (read_approvals, "a\n")],
)
def test_a_file_without_the_columns_gives_nothing(read, text):
    rows, problems = read(text, "t.csv")
    assert rows == ()
    assert any(p.severity == "shortfall" and p.place.file == "t.csv" for p in problems)


def test_a_rate():
    (given,), problems = read_rates(RATES + "EUR,CAD,1.4837,2026-11-20,central bank\n", "r.csv")
    assert problems == ()
    assert (given.to, given.rate) == ("CAD", Rate("EUR", Decimal("1.4837"), date(2026, 11, 20), "central bank"))


DAY = date(2026, 11, 1)
FIRST = offer((1, "4.00"), place=Place("a.csv", 2))


def test_the_later_price_holds_and_the_earlier_is_named():
    later = offer((1, "5.00"), as_of=date(2026, 12, 1), place=Place("b.csv", 7))
    for order in ((FIRST, later), (later, FIRST)):
        kept, (problem,) = one_of_each(order)
        assert kept == (later,)
        assert (problem.id, problem.severity, problem.place) == ("price-superseded", "note", Place("a.csv", 2))


def test_two_prices_of_one_day_are_a_contradiction_and_the_first_holds():
    other = offer((1, "5.00"), place=Place("b.csv", 7))
    kept, (problem,) = one_of_each((FIRST, other))
    assert kept == (FIRST,)
    assert (problem.id, problem.severity, problem.place) == ("price-contradiction", "shortfall", Place("b.csv", 7))


def test_the_same_offer_in_two_files_is_no_fault():
    kept, problems = one_of_each((FIRST, replace(FIRST, place=Place("b.csv", 2))))
    assert (kept, problems) == ((FIRST,), ())


def test_one_order_code_for_two_parts_is_named():
    _, (problem,) = one_of_each((FIRST, offer((1, "0.10"), part="resistor-37r4", place=Place("a.csv", 3))))
    assert (problem.id, problem.place) == ("price-code", Place("a.csv", 3))


def test_invented_prices_give_way_to_real_ones_part_by_part():
    invented = [offer((1, "0.01"), part=key, invented=True, order_code="*") for key in ("relay-x", "resistor-*")]
    real = offer((1, "4.00"))
    assert offers_of((RELAY, RESISTOR), [*invented, real]) == (
        real,
        replace(invented[1], part="resistor-37r4", order_code="R37R4"),
    )


@pytest.mark.parametrize(
    ("on", "ids"),
    [(date(2027, 1, 30), []), (date(2027, 1, 31), ["price-old"]), (date(2026, 10, 31), ["price-ahead"])],
)
def test_an_old_price_and_one_from_the_future_are_named_with_their_line(on, ids):
    problems = old([FIRST], on, DAY)
    assert [p.id for p in problems] == ids
    assert all(p.place == Place("a.csv", 2) for p in problems)


@pytest.mark.parametrize(("newest", "ids"), [(date(2027, 1, 30), []), (date(2027, 1, 31), ["price-old"])])
def test_without_a_day_prices_are_old_beside_the_newest(newest, ids):
    problems = old([FIRST], None, newest)
    assert [p.id for p in problems] == ids
    assert all(f"before the newest price, of {newest}" in p.found for p in problems)
