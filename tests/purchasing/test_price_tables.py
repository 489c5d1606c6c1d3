"""Tables of terms, rates, stock and approvals: a bad row is named with its line, and the rest holds."""

from datetime import date
from decimal import Decimal

import pytest
from msgspec.structs import replace

from boardgen.model.problem import Place
from boardgen.purchasing.alternates import read_approvals
from boardgen.purchasing.makers_numbers import keys_by_number
from boardgen.purchasing.order import Rate, SupplierTerms
from boardgen.purchasing.price_book import offers_of, old, one_of_each
from boardgen.purchasing.price_tables import read_price_book, read_prices, read_rates, read_terms
from boardgen.purchasing.stock import read_stock, whole_stock
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
        (read_terms, TERMS + GOOD_TERMS + GOOD_TERMS.replace("9.50", "9"), 3, "terms of S in CAD a second time"),
        (read_rates, RATES + "EUR,EUR,1,2026-11-01,x\nEUR,CAD,1.5,2026-11-01,x\n", 2, "from and to are both EUR"),
        (read_rates, RATES + "EUR,CAD,0,2026-11-01,x\nEUR,CAD,1.5,2026-11-01,x\n", 2, "rate is 0"),
        (
            read_rates,
            RATES + "EUR,CAD,1.5,2026-11-01,x\nEUR,CAD,1.6,2026-11-01,x\n",
            3,
            "rate from EUR to CAD a second time",
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


def test_suppliers_whose_names_are_nearly_alike_are_named_once():
    others = [
        offer((1, "0.10"), part=key, order_code=key, supplier="supplier  a", place=Place("b.csv", row))
        for row, key in enumerate(("x", "y"), 3)
    ]
    kept, (problem,) = one_of_each((FIRST, *others))
    assert (len(kept), problem.id, problem.severity, problem.place) == (3, "price-supplier", "warning", others[0].place)


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


@pytest.mark.parametrize(
    ("read", "heading", "rows", "value"),
    [
        (read_terms, TERMS, (GOOD_TERMS, GOOD_TERMS.replace("9.50", "8").replace("2026-11", "2026-10")), "9.50"),
        (read_rates, RATES, ("EUR,CAD,1.5,2026-11-01,x\n", "EUR,CAD,1.6,2026-10-01,x\n"), "1.5"),
    ],
)
@pytest.mark.parametrize("turned", [False, True])
def test_of_terms_and_rates_the_newest_hold_and_the_others_are_named(read, heading, rows, value, turned):
    rows = rows[::-1] if turned else rows
    (row,), (problem,) = read(heading + "".join(rows), "t.csv")
    assert (row.shipping if read is read_terms else row.rate.rate) == Decimal(value)
    assert (problem.severity, problem.place.line) == ("note", 2 if turned else 3)
    files = [(f"{n}.csv", heading + row) for n, row in enumerate(rows)]
    book, (between,) = read_price_book(files)
    assert (book.terms or book.rates) == read(heading + rows[turned], "t.csv")[0]
    assert (between.place.file, between.severity) == ("0.csv" if turned else "1.csv", "note")
    assert f"{int(turned)}.csv:2 is taken" in between.wanted


PRICES = "part,supplier,order_code,currency,quantity,unit_price,as_of,source\nx,S,1,CAD,1,2,2026-11-01,l\n"


@pytest.mark.parametrize(
    ("read", "text", "what"),
    [
        (read_stock, PRICES, "this is a table of prices"),
        (read_stock, PRICES.replace(",", ";"), "this is a table of prices"),
        (read_stock, ALTERNATES + "a,b,c\n", "this is a table of alternates"),
        (read_stock, TERMS + GOOD_TERMS, "this is a table of suppliers' terms"),
        (read_stock, RATES + "EUR,CAD,1.5,2026-11-01,x\n", "this is a table of rates"),
        (read_approvals, PRICES, "this is a table of prices"),
        (read_approvals, STOCK + "a,1,\n", "this is a table of stock"),
        (read_prices, STOCK + "a,1,\n", "this is a table of stock"),
        (read_prices, ALTERNATES + "a,b,c\n", "this is a table of alternates"),
    ],
)
def test_a_table_of_another_kind_is_refused_as_what_it_is(read, text, what):
    rows, (problem,) = read(text, "t.csv")
    assert rows == ()
    assert (problem.severity, problem.place) == ("error", Place("t.csv", 1))
    assert problem.found.startswith(what)
    assert "give it" in problem.found


def test_many_unknown_rows_are_one_note():
    stock, problems = read_stock(STOCK + "".join(f"no-{n},1,\n" for n in range(50_000)), "t.csv")
    assert problems == ()
    kept, (problem,) = whole_stock(stock, {})
    assert len(kept) == 50_000
    assert (problem.severity, problem.place) == ("note", Place("t.csv", 2))
    assert problem.found == "50,000 rows are of no part of the catalogue, such as no-0, no-1, no-2"


def test_a_makers_number_stands_for_the_key():
    one, two = replace(RELAY, key="relay-one", number="G6K 2P"), replace(RELAY, key="relay-two", number="AB")
    alike = [replace(RELAY, key=key, number="twice") for key in ("a", "b")]
    odd = replace(RELAY, key="odd", number="relay-two")
    keys = keys_by_number([one, two, *alike, odd])
    assert keys == {"G6K 2P": "relay-one", "AB": "relay-two"}
    prices = PRICES.replace("x,S", "G6K 2P,S") + "relay-one,S,1,CAD,1,3,2026-10-01,l\n"
    (an_offer,), (note,) = read_prices(prices, "p.csv", keys)
    assert (an_offer.part, str(an_offer.breaks[0].unit_price), note.id) == ("relay-one", "2", "price-superseded")
    (item,), _ = read_stock(STOCK + "AB,3,\n", "s.csv", keys)
    assert item.part == "relay-two"
    (approval,), _ = read_approvals(ALTERNATES + "G6K 2P,AB,me\n", "a.csv", keys)
    assert (approval.part, approval.alternate) == ("relay-one", "relay-two")
