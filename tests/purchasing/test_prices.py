"""Price files: what is read, and what is said about what cannot be."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boardgen.purchasing.offer import Break, Offer
from boardgen.purchasing.price_tables import read_prices

HEADING = "part,supplier,order_code,currency,quantity,unit_price,minimum,multiple,stock,lead_days,as_of,source\n"
GOOD = "relay-x,Supplier A,A-1,CAD,1,4.10,1,1,850,5,2026-11-01,a list\n"
TEN = "relay-x,Supplier A,A-1,CAD,10,3.61,1,1,850,5,2026-11-01,a list\n"


def said(text: str) -> list[tuple[int | None, str, str]]:
    return [(problem.place.line, problem.severity, problem.found) for problem in read_prices(text, "p.csv")[1]]


def test_one_offer_from_its_breaks_in_any_order() -> None:
    offers, problems = read_prices(HEADING + TEN + GOOD, "p.csv")
    assert problems == ()
    assert offers == (
        Offer(
            "relay-x",
            "Supplier A",
            "A-1",
            "CAD",
            (Break(Decimal(1), Decimal("4.10")), Break(Decimal(10), Decimal("3.61"))),
            Decimal(1),
            Decimal(1),
            Decimal(850),
            5,
            date(2026, 11, 1),
            False,
            "a list",
        ),
    )


def test_blank_is_one_or_unknown() -> None:
    (offer,), problems = read_prices(HEADING + "x,S,1,CAD,1,2,,,,,2026-11-01,a list\n", "p.csv")
    assert (offer.minimum, offer.multiple, offer.stock, offer.lead_days) == (1, 1, None, None)
    assert problems == ()


def test_columns_in_any_order_and_some_left_out() -> None:
    text = "source,as_of,unit_price,quantity,currency,order_code,supplier,part\na list,2026-11-01,2,1,CAD,1,S,x\n"
    (offer,), problems = read_prices(text, "p.csv")
    assert (offer.part, offer.breaks[0].unit_price, problems) == ("x", Decimal(2), ())


@pytest.mark.parametrize(("supplier", "source"), [("Invented Ltd", "list"), ("S", "INVENTED for a test")])
def test_invented_is_marked(supplier: str, source: str) -> None:
    (offer,), _ = read_prices(HEADING + f"x,{supplier},1,CAD,1,2,,,,,2026-11-01,{source}\n", "p.csv")
    assert offer.invented


@pytest.mark.parametrize(
    ("row", "found"),
    [
        ("x,S,1,CAD,1,two,,,,,2026-11-01,l", "unit_price 'two' is not a number"),
        ('x,S,1,CAD,1,"2,50",,,,,2026-11-01,l', "unit_price '2,50' is not a number"),
        ("x,S,1,CAD,1,nan,,,,,2026-11-01,l", "unit_price 'nan' is not a number"),
        ("x,S,1,CAD,1,1e3,,,,,2026-11-01,l", "unit_price '1e3' is not a number"),
        ("x,S,1,CAD,1,٣,,,,,2026-11-01,l", "unit_price '٣' is not a number"),
        ("x,S,1,CAD,1,-2,,,,,2026-11-01,l", "unit_price '-2' is negative"),
        ("x,S,1,CAD,1,0,,,,,2026-11-01,l", "unit_price is 0"),
        ("x,S,1,CAD,0,2,,,,,2026-11-01,l", "quantity is 0"),
        ("x,S,1,CAD,1,2,0,,,,2026-11-01,l", "minimum is 0"),
        ("x,S,1,CAD,1,2,,0.0,,,2026-11-01,l", "multiple is 0"),
        ("x,S,1,CAD,1,2,,,-1,,2026-11-01,l", "stock '-1' is negative"),
        ("x,S,1,CAD,1,2,,,,1.5,2026-11-01,l", "lead_days '1.5' is not a whole number"),
        ("x,S,1,cad,1,2,,,,,2026-11-01,l", "currency 'cad' is not a currency code"),
        ("x,S,1,CAD,1,2,,,,,2026-02-30,l", "as_of '2026-02-30' is not a day"),
        ("x,S,1,CAD,1,2,,,,,1/11/2026,l", "as_of '1/11/2026' is not a day"),
        ("x,,1,CAD,1,2,,,,,2026-11-01,l", "supplier is blank"),
        ("x,S,1,CAD,1,2,,,,,2026-11-01,", "source is blank"),
        ("re*lay-*,S,1,CAD,1,2,,,,,2026-11-01,l", "part 're*lay-*' has a * before its end"),
        ("x,S,1,CAD,1,2", "6 fields"),
        ("x,S,1,CAD,1,2,,,,,2026-11-01,l,more", "13 fields"),
    ],
)
def test_a_bad_row_is_named_and_the_rest_holds(row: str, found: str) -> None:
    text = HEADING + GOOD + row + "\n" + TEN
    offers, _ = read_prices(text, "p.csv")
    assert [len(offer.breaks) for offer in offers] == [2]
    assert said(text) == [(3, "shortfall", found)]


@pytest.mark.parametrize(
    ("row", "found"),
    [
        (TEN.replace("CAD", "EUR"), "currency EUR in an offer with CAD on line 2"),
        (TEN.replace(",850,", ",,"), "stock blank in an offer with 850 on line 2"),
        (TEN.replace("3.61,1,1", "3.61,1,5"), "multiple 5 in an offer with 1 on line 2"),
        (TEN.replace("CAD,10", "CAD,1.0"), "a second price from 1 on"),
    ],
)
def test_rows_of_an_offer_must_agree(row: str, found: str) -> None:
    (offer,), _ = read_prices(HEADING + GOOD + row, "p.csv")
    assert offer.breaks == (Break(Decimal(1), Decimal("4.10")),)
    assert said(HEADING + GOOD + row) == [(3, "shortfall", found)]


def test_a_dearer_larger_break_is_a_warning_and_is_used() -> None:
    text = HEADING + TEN.replace("3.61", "5.00") + GOOD
    (offer,), _ = read_prices(text, "p.csv")
    assert len(offer.breaks) == 2
    assert said(text) == [(2, "warning", "relay-x: from 10 on dearer than from 1")]


def test_an_unknown_column_gets_the_nearest_spelling() -> None:
    text = HEADING.replace("stock", "stcok") + GOOD
    offers, problems = read_prices(text, "p.csv")
    assert offers[0].stock is None
    assert [(p.severity, p.found, p.hint) for p in problems] == [
        ("warning", "unknown column 'stcok'", "Did you mean stock?")
    ]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("", "the file holds no table"),
        ("\n , \n", "the file holds no table"),
        (HEADING.replace("unit_price", "price") + GOOD, "no column unit_price"),
        (HEADING.replace("stock", "minimum") + GOOD, "the column 'minimum' stands there twice"),
        (HEADING.replace(",", "|") + GOOD.replace(",", "|"), "no column part, supplier, order_code"),
    ],
)
def test_a_file_without_the_table_gives_no_offer(text: str, found: str) -> None:
    offers, problems = read_prices(text, "p.csv")
    assert offers == ()
    assert any(p.severity == "shortfall" and p.found.startswith(found) for p in problems)


def test_lines_are_counted_through_quoted_line_ends_and_blank_lines() -> None:
    quoted = GOOD.replace("a list", '"a\nlist"')
    bad = TEN.replace("3.61", "x")
    assert said(HEADING + quoted + "\n" + bad) == [(5, "shortfall", "unit_price 'x' is not a number")]


def test_a_broken_quote_ends_the_table_there() -> None:
    text = HEADING + GOOD + 'x,"S"tray,1,CAD\n' + TEN
    offers, problems = read_prices(text, "p.csv")
    assert len(offers[0].breaks) == 1
    assert [(p.place.line, p.severity) for p in problems] == [(3, "shortfall")]


@given(st.text(alphabet=st.sampled_from('part,"\n\r;*0123456789.-CADé\0')))
def test_any_text_is_read_or_named(text: str) -> None:
    for start in ("", HEADING):
        offers, problems = read_prices(start + text, "p.csv")
        assert all(offer.breaks for offer in offers)
        assert all(problem.place.file == "p.csv" and problem.found for problem in problems)


def test_of_several_days_of_one_offer_the_newest_holds_and_the_others_are_named_once() -> None:
    old = "".join(row.replace("2026-11-01", "2026-10-01").replace("850", "90") for row in (GOOD, TEN))
    new = GOOD.replace("4.10", "4.30")
    for text, line in ((HEADING + old + new, 2), (HEADING + new + old, 3)):
        (offer,), _ = read_prices(text, "p.csv")
        assert offer.breaks == (Break(Decimal(1), Decimal("4.30")),)
        assert said(text) == [(line, "note", "relay-x at Supplier A, A-1, of 2026-10-01")]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        (
            HEADING.replace(",", ";") + GOOD.replace(",", ";").replace("4.10", "4,10"),
            "semicolons, numbers with a decimal comma",
        ),
        (HEADING.replace(",", "\t") + GOOD.replace(",", "\t"), "tabs, numbers with a decimal point"),
        (HEADING + GOOD.replace("4.10", '"4,10"'), "commas, numbers with a decimal comma"),
    ],
)
def test_tables_of_other_habits_are_read_and_shown_back(text: str, wanted: str) -> None:
    assert read_prices(text, "p.csv")[0] == read_prices(HEADING + GOOD, "p.csv")[0]
    assert said(text) == [(1, "note", f"read as columns separated by {wanted}")]
