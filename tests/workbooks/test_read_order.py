"""The workbook of an order comes back: edits are read, and whatever is no edit of an entry is refused by its cell."""

import datetime
import io
from decimal import Decimal

import openpyxl
import pytest
from msgspec.structs import replace
from openpyxl import Workbook
from openpyxl.cell import Cell
from openpyxl.formula.translate import Translator

from boardgen.formats.fixed_zip import fixed_zip, unzipped
from boardgen.model.problem import InputError
from boardgen.purchasing.quoted_order import as_quoted
from boardgen.purchasing.quotes import changes, changes_since, quote_of
from boardgen.workbooks.order import ChangeLog, write_order
from boardgen.workbooks.order_supplier import AT
from boardgen.workbooks.read_order import read_order
from boardgen.workbooks.read_past_order import read_past_order
from tests.workbooks.made_order import made_content, made_order
from tests.workbooks.order_edits import (
    DOLLARS,
    FIRST,
    YEN,
    beside,
    edit_many,
    edited,
    heading_row,
    opened,
    put,
    read,
    saved,
    stay,
    written,
)

ROW = heading_row(opened()[FIRST]) + 1


def refused(data: bytes) -> list[tuple[str, str]]:
    """The place and the finding of every fault."""
    with pytest.raises(InputError) as raised:
        read(data)
    assert all(problem.place.file == "back.xlsx" for problem in raised.value.problems)
    return [(problem.place.key, problem.sentence) for problem in raised.value.problems]


def test_what_nobody_touched_is_read_as_it_was_written() -> None:
    order = made_order()
    quotes = read(write_order(made_content()))
    assert quotes == tuple(quote_of(supplier) for supplier in order.suppliers)
    assert changes(order, quotes) == ()
    assert as_quoted(order, quotes, "back.xlsx") is order
    assert read(saved(opened())) == quotes


def test_every_kind_of_entry_is_read() -> None:
    first, yen, dollars = read(edited(edit_many))
    assert (first.lines[0].quantity, first.lines[0].unit_price) == (Decimal(1357), Decimal("446.205"))
    assert (first.lines[1].lead_days, yen.lines[0].lead_days) == (9, None)
    assert (first.terms.shipping, first.terms.tax_percent) == (Decimal("7.25"), Decimal("14.975"))
    assert (dollars.lines[0].order_code, dollars.lines[1].quantity) == ("4711", Decimal(0))
    assert (dollars.terms.free_from, dollars.rate) == (None, Decimal("1.40005"))
    assert first.terms.minimum_order is None
    assert dollars.terms.minimum_order == 5


def test_an_edited_workbook_is_written_again_and_read_again() -> None:
    quotes = read(edited(edit_many))
    after = as_quoted(made_order(), quotes, "back.xlsx")
    content = made_content(after, entered=ChangeLog("back.xlsx", changes(made_order(), quotes)))
    assert read(write_order(content)) == quotes


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ("=1+1", "a formula"),
        ("4.10 CAD", "text"),
        ("4,10", "text"),
        (None, "blank"),
        (-1, "negative"),
        (2.5, "2.5"),
        (10**9, "less than 1,000,000,000"),
        (True, "yes or no"),
        ("#N/A", "an error"),
        (datetime.date(2026, 11, 1), "a day"),
    ],
)
def test_what_is_no_quantity_is_refused_by_its_cell(value: object, said: str) -> None:
    ((cell, sentence),) = refused(edited(put(FIRST, f"F{ROW}", value)))
    assert cell == f"{FIRST}!F{ROW}"
    assert said in sentence
    assert "quantity" in sentence


@pytest.mark.parametrize(
    ("address", "value", "said"),
    [
        (f"I{ROW}", "=A1", "a formula"),
        (f"I{ROW}", -0.01, "negative"),
        (f"I{ROW}", 0.123456789, "at most 8 decimals"),
        (f"K{ROW}", 1.5, "whole"),
        (f"K{ROW}", "soon", "text"),
        (f"B{ROW}", None, "blank"),
        (f"B{ROW}", "=B1", "a formula"),
        (f"B{ROW}", "x" * 61, "up to 60"),
        (f"B{ROW}", 1.5, "1.5"),
        (f"J{ROW}", 57.76, "the formula of the line total"),
        (f"I{ROW}", "=LOOKUP(MAX(F7,1),{1,10},{4.15,3.61})", "a formula"),
        (f"I{ROW}", "=LOOKUP(MAX(F8,1),{1,10,100},{4.15,3.61,2.8})", "a formula"),
        (f"{AT['part']}{ROW}", "other", "'relay', as written"),
        (f"D{ROW}", "X-13", "'X-12', as written"),
        (f"A{ROW}", 9, "no line of this order"),
    ],
)
def test_any_other_cell_is_named_too(address: str, value: object, said: str) -> None:
    found = refused(edited(put(FIRST, address, value)))
    assert any(cell == f"{FIRST}!{address}" and said in sentence for cell, sentence in found)


def test_terms_are_held_to_the_same() -> None:
    def edit(book: Workbook) -> None:
        beside(book[DOLLARS], "Tax on goods, shipping and fee, %, enter").value = "13 %"
        beside(book[DOLLARS], "One USD in CAD, enter").value = 0
        beside(book[YEN], "Shipping, JPY, enter").value = 800.5

    assert [cell.split("!")[0] for cell, _ in refused(edited(edit))] == [YEN, DOLLARS, DOLLARS]


def test_all_faults_are_told_at_once() -> None:
    found = refused(edited(put(FIRST, f"F{ROW}", "two"), put(FIRST, f"I{ROW + 1}", None), put(YEN, f"F{ROW}", -1)))
    assert [cell for cell, _ in found] == [f"{FIRST}!F{ROW}", f"{FIRST}!I{ROW + 1}", f"{YEN}!F{ROW}"]


def test_a_deleted_line_is_named() -> None:
    ((cell, sentence),) = refused(edited(lambda book: book[FIRST].delete_rows(ROW)))
    assert cell == f"{FIRST}!A{ROW}"
    assert "line 1, relay, is gone" in sentence

    def clear(book: Workbook) -> None:
        for column in AT.values():
            book[FIRST][f"{column}{ROW}"].value = None

    assert refused(edited(clear)) == [(cell, sentence)]


def test_a_line_that_stands_there_twice_is_named() -> None:
    ((cell, sentence), *_) = refused(edited(put(FIRST, f"A{ROW + 1}", 1)))
    assert (cell, "twice" in sentence) == (f"{FIRST}!A{ROW + 1}", True)


def test_sorted_lines_are_read_as_they_were_written() -> None:
    def swap(book: Workbook) -> None:
        sheet = book[FIRST]
        for column in AT.values():
            one, other = sheet[f"{column}{ROW}"], sheet[f"{column}{ROW + 1}"]
            one.value, other.value = moved(other, one), moved(one, other)

    def moved(cell: Cell, to: Cell) -> object:
        formula = cell.data_type == "f"
        return Translator(cell.value, cell.coordinate).translate_formula(to.coordinate) if formula else cell.value

    assert read(edited(swap)) == read(write_order(made_content()))


@pytest.mark.parametrize(
    ("quantity", "price", "next_break", "costs"),
    [(16, "3.61", 100, "222.24"), (9, "4.15", 10, "-1.25"), (250, "2.80", None, None)],
)
def test_a_price_follows_its_quantity_by_the_breaks(
    quantity: int, price: str, next_break: int | None, costs: str | None
) -> None:
    data = edited(put(FIRST, f"F{ROW}", quantity))
    (relay, _), *_ = (quote.lines for quote in read(data))
    assert (relay.quantity, relay.unit_price) == (quantity, Decimal(price))
    after = as_quoted(made_order(), read(data), "back.xlsx")
    bought = after.suppliers[0].lines[0]
    assert (bought.source, bought.as_of) == ("list", made_order().suppliers[0].lines[0].as_of)
    assert not [problem for problem in after.problems if problem.id == "quote-break"]
    shown = openpyxl.load_workbook(io.BytesIO(write_order(made_content(after))), data_only=True)[FIRST]
    found = [shown[f"{AT[name]}{ROW}"].value for name in ("unit_price", "next_break", "next_costs")]
    assert found == [float(price), next_break or "none", float(costs) if costs else "none"]
    (past, _), *_ = (supplier.lines for supplier in read_past_order(data, "old.xlsx"))
    assert past.quote.unit_price == Decimal(price)


def test_sheets_are_those_of_the_order() -> None:
    found = refused(edited(lambda book: book.create_sheet("Mine"), lambda book: book.remove(book[YEN])))
    assert found == [
        ("Mine!A1", "this sheet is not of the order. Remove it"),
        (f"{YEN}!A1", "this sheet is gone. Put it back"),
    ]


def test_headings_and_sums_must_stand() -> None:
    def columns(book: Workbook) -> None:
        book[FIRST].insert_cols(3)

    assert f"{FIRST}!C{ROW - 1}" in dict(refused(edited(columns)))
    ((cell, sentence),) = refused(edited(lambda book: put(FIRST, f"A{ROW - 1}", "No.")(book)))
    assert (cell, sentence[:11]) == (f"{FIRST}!A1", "the heading")
    ((cell, _),) = refused(edited(put(FIRST, f"I{ROW + 2}", None)))
    assert cell == f"{FIRST}!I{ROW + 2}"


def test_a_workbook_of_another_order_is_refused_once() -> None:
    data = write_order(made_content(made_order("Heronsmere")))
    ((cell, sentence),) = refused(data)
    assert cell.startswith(f"{FIRST}!B")
    assert "it is of the order" in sentence


def test_what_is_no_workbook_is_refused() -> None:
    pages = unzipped(write_order(made_content()))
    broken = fixed_zip({**pages, "xl/worksheets/sheet2.xml": b"<worksheet><sheetData>"})
    empty = saved(openpyxl.Workbook())
    for data in (b"", b"PK", b"part,price\n", write_order(made_content())[:4000], broken, empty):
        ((cell, _),) = refused(data)
        assert cell == ""


def test_a_workbook_that_unpacks_to_very_much_is_refused() -> None:
    pages = unzipped(write_order(made_content()))
    big = fixed_zip({**pages, "xl/media/x.bin": b"\0" * (65 * 1024 * 1024)})
    ((_, sentence),) = refused(big)
    assert "unpacks to" in sentence


def test_a_small_workbook_of_many_merged_cells_is_refused() -> None:
    pages = unzipped(write_order(made_content()))
    name = "xl/worksheets/sheet2.xml"
    for mark, encoding in ((b"", "utf-8"), (b"\xff\xfe", "utf-16-le")):
        merged = '<mergeCells count="1"><mergeCell ref="A50:XFD1048576"/></mergeCells></worksheet>'
        text = pages[name].decode().replace("</worksheet>", merged)
        ((_, sentence),) = refused(fixed_zip({**pages, name: mark + text.encode(encoding)}))
        assert "17,179,066,480 cells that are merged" in sentence


def test_faults_are_of_the_reader_of_this_order() -> None:
    with pytest.raises(InputError, match=r"back\.xlsx: Buy @Supplier!F"):
        read_order(edited(put(FIRST, f"F{ROW}", -1)), "back.xlsx", made_order(), stay)


def test_an_earlier_order_is_held_against_the_one_of_now() -> None:
    order = made_order()
    assert changes_since(read_past_order(written(), "old.xlsx"), order) == ()
    dollars = order.suppliers[2]
    fewer = replace(order, suppliers=(*order.suppliers[:2], replace(dollars, lines=dollars.lines[:1])))
    past = read_past_order(edited(edit_many), "old.xlsx")
    found = changes_since(past, fewer)
    assert [(c.line, c.key, c.what, c.before, c.after) for c in found if c.supplier == dollars.supplier] == [
        (1, "wire", "order code", "4711", "004-wire"),
        (1, "wire", "quantity, m", "96.5", "27.5"),
        (1, "wire", "unit price", "490.075", "0.2825"),
        (None, "resistor", "line", "0 at 0.335", "none"),
        (None, "", "free shipping from", "none", "10.11"),
        (None, "", "rate", "1.40005", "1.3815"),
    ]
    assert [(c.supplier, c.what, c.after) for c in found if c.what == "total"] == [("", "total", f"{order.total} CAD")]
    assert sum(supplier.total for supplier in read_past_order(written(), "old.xlsx")) == order.total
    new = changes_since(read_past_order(write_order(made_content(fewer)), "old.xlsx"), order)
    (line, total) = ((c.line, c.part, c.what, c.before, c.after) for c in new)
    assert line == (2, "Maker +R", "line", "none", "7 at 0.335")
    assert total[2:] == ("total", "105.95 CAD", f"{order.total} CAD"), "few goods pay their freight"


def test_an_earlier_order_that_cannot_be_read_is_refused_by_its_cells() -> None:
    data = edited(put(FIRST, f"F{ROW}", "many"), put(FIRST, f"I{ROW + 1}", "=1"))
    with pytest.raises(InputError) as raised:
        read_past_order(data, "old.xlsx")
    assert [p.place.key for p in raised.value.problems] == [f"{FIRST}!F{ROW}", f"{FIRST}!I{ROW + 1}"]
    with pytest.raises(InputError, match="not a workbook that an order"):
        read_past_order(saved(openpyxl.Workbook()), "old.xlsx")
    with pytest.raises(InputError, match="not the sheet of a supplier"):
        read_past_order(edited(put(FIRST, "A1", "mine")), "old.xlsx")
