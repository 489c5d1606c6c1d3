"""The request for quotation as a workbook: a supplier fills it in, and it is read as a price table with terms."""

import io
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest
from openpyxl.worksheet.worksheet import Worksheet

from boardgen.inputs.table_files import read_tables
from boardgen.model.problem import InputError
from boardgen.purchasing.offer import Break
from boardgen.purchasing.price_book import PriceBook
from boardgen.purchasing.price_tables import read_price_book
from boardgen.workbooks.quotation import quotation_workbook
from tests.workbooks.made_order import made_order
from tests.workbooks.order_edits import beside, saved

SETTINGS = {
    "Supplier, enter": "Northmere",
    "Currency, enter": "EUR",
    "Day of the offer, enter": "2026-11-28",
    "It holds until, enter": "2026-12-31",
    "Shipping, enter": 6.5,
    "Tax, %, enter": 19,
}


def filled(settings: dict[str, object]) -> bytes:
    """A quotation for two parts: one with three breaks, the last of them the supplier's own, and wire at one price."""
    book = openpyxl.load_workbook(io.BytesIO(quotation_workbook(made_order(), "A4")))
    sheet = book["Quotation"]
    for label, value in settings.items():
        beside(sheet, label).value = value
    relay, wire = first_row(sheet, "relay"), first_row(sheet, "wire")
    assert [sheet[f"D{relay + n}"].value for n in range(3)] == [16, 20, 50]
    sheet[f"D{relay + 2}"] = 100
    for n, price in enumerate((3.5, 3.25, 2.75)):
        sheet[f"F{relay + n}"] = price
    for column, value in {"G": "N-16", "H": 5, "I": 5, "J": 400, "K": 12, "L": "new reel"}.items():
        sheet[f"{column}{relay}"] = value
    sheet[f"F{wire}"], sheet[f"G{wire}"] = 0.31, 4711
    return saved(book)


def first_row(sheet: Worksheet, part: str) -> int:
    return next(cell.row for cell in sheet["A"] if cell.value == part)


def book_of(data: bytes, folder: Path) -> PriceBook:
    (folder / "back.xlsx").write_bytes(data)
    book, problems = read_price_book(read_tables([folder / "back.xlsx"]))
    assert problems == ()
    return book


def test_a_filled_in_quotation_is_a_price_table_with_terms(tmp_path: Path) -> None:
    book = book_of(filled(SETTINGS), tmp_path)
    relay, wire = book.offers
    assert (relay.part, relay.supplier, relay.order_code, relay.currency) == ("relay", "Northmere", "N-16", "EUR")
    assert relay.breaks == tuple(Break(Decimal(n), Decimal(p)) for n, p in ((16, "3.5"), (20, "3.25"), (100, "2.75")))
    assert (relay.minimum, relay.multiple, relay.stock, relay.lead_days) == (5, 5, 400, 12)
    assert (relay.as_of, relay.source) == (date(2026, 11, 28), "quotation, holds until 2026-12-31: new reel")
    assert (wire.part, wire.order_code, wire.minimum, wire.stock) == ("wire", "4711", 1, None)
    (terms,) = book.terms
    assert (terms.supplier, terms.currency, terms.shipping, terms.free_from) == (
        "Northmere",
        "EUR",
        Decimal("6.5"),
        None,
    )
    assert (terms.tax_percent, terms.as_of) == (19, date(2026, 11, 28))


def test_without_terms_none_are_made(tmp_path: Path) -> None:
    known = {label: value for label, value in SETTINGS.items() if label not in ("Shipping, enter", "Tax, %, enter")}
    assert book_of(filled(known), tmp_path).terms == ()


def test_what_is_wrong_is_told_by_the_row_of_the_sheet(tmp_path: Path) -> None:
    book = openpyxl.load_workbook(io.BytesIO(filled(SETTINGS)))
    sheet = book["Quotation"]
    row = first_row(sheet, "relay")
    sheet[f"F{row + 1}"] = "on request"
    sheet[f"A{first_row(sheet, 'wire')}"] = "wire-2"
    path = tmp_path / "back.xlsx"
    path.write_bytes(saved(book))
    _, (fault,) = read_price_book(read_tables([path]))
    assert (fault.place.line, fault.severity) == (row + 1, "shortfall")
    assert "unit_price 'on request'" in fault.found


@pytest.mark.parametrize("label", ["Supplier, enter", "Currency, enter", "Day of the offer, enter"])
def test_nobodys_quotation_is_refused(tmp_path: Path, label: str) -> None:
    path = tmp_path / "back.xlsx"
    path.write_bytes(filled({**SETTINGS, label: None}))
    with pytest.raises(InputError, match=f'"{label}" is blank'):
        read_tables([path])


def test_one_that_is_not_filled_in_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "empty.xlsx"
    path.write_bytes(quotation_workbook(made_order(), "A4"))
    with pytest.raises(InputError, match=r"no unit price is entered\. Leave the quotation out"):
        read_tables([path])


@pytest.mark.peer
@pytest.mark.parametrize("ending", ["xlsx", "ods"])
def test_one_that_a_spreadsheet_saved_is_read_alike(office: Callable[..., bytes], tmp_path: Path, ending: str) -> None:
    assert book_of(office(filled(SETTINGS), ending), tmp_path) == book_of(filled(SETTINGS), tmp_path)
