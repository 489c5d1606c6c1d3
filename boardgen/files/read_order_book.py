"""Reads order.xlsx when it comes back: what was entered, and every cell that cannot be used."""

from __future__ import annotations

import io
import warnings
import zipfile
from collections.abc import Sequence
from typing import TYPE_CHECKING

from boardgen.files.order_book import AFTER, BEFORE
from boardgen.imports import absent
from boardgen.model.problem import InputError, Place, Problem
from boardgen.purchasing.order import Order
from boardgen.purchasing.quotes import SupplierQuote, reference

if TYPE_CHECKING:
    from openpyxl import Workbook

MOST_BYTES = 64 * 1024 * 1024
"""A workbook that unpacks to more is refused."""
_HINT = "Give the specifications, boards, stock and price files it was written with, or the workbook of this order"


def read_order_book(data: bytes, file: str, order: Order) -> tuple[SupplierQuote, ...]:
    """What the workbook of this order holds now, one quote a supplier.

    Only the entries may differ from what was written. Raises InputError with every cell that is not as it must be.
    """
    book = _opened(data, file)
    from boardgen.files.order_book_supplier import names
    from boardgen.files.quoted_sheet import QuotedSheet, reference_cell

    wanted = names(order)
    found = [book[name] for name in book.sheetnames if name.startswith("Buy ") and hasattr(book[name], "cell")]
    marks = [(f"{s.title}!{cell.coordinate}", cell.value) for s in found if (cell := reference_cell(s))]
    if not marks:
        raise _refused(file, "", "it is not a workbook that an order was written to", "Give order.xlsx of this order")
    for address, mark in marks:
        if mark != reference(order):
            raise _refused(file, address, f"it is of the order {mark}, and this is {reference(order)}", _HINT)
    problems = _sheet_problems(book.sheetnames, [*BEFORE, *wanted, *AFTER], file)
    quotes: list[SupplierQuote] = []
    for name, supplier in zip(wanted, order.suppliers, strict=True):
        if name in book.sheetnames:
            sheet = QuotedSheet(book[name], file, order, supplier)
            quote = sheet.quote()
            problems += sheet.problems
            quotes += [quote] if quote else []
    if problems:
        raise InputError(problems)
    return tuple(quotes)


def _opened(data: bytes, file: str) -> Workbook:
    with absent("numpy", "PIL"):
        from openpyxl import load_workbook
    try:
        size = sum(entry.file_size for entry in zipfile.ZipFile(io.BytesIO(data)).infolist())
        if size <= MOST_BYTES:
            with warnings.catch_warnings():
                # The library says what of a workbook it does not keep; nothing of it is written back.
                warnings.simplefilter("ignore")
                return load_workbook(io.BytesIO(data), keep_links=False)
    except Exception as error:
        # A damaged file raises whatever its reader stumbles over.
        hint = "Save it as .xlsx, the format it came in"
        raise _refused(file, "", "it cannot be read as a workbook", hint) from error
    raise _refused(file, "", f"it unpacks to {size:,} bytes", f"At most {MOST_BYTES:,} are read")


def _sheet_problems(found: Sequence[str], wanted: Sequence[str], file: str) -> list[Problem]:
    unknown = [
        Problem(
            "quote-sheet", "error", Place(file, key=f"{name}!A1"), "this sheet is not of the order", "", "Remove it"
        )
        for name in found
        if name not in wanted
    ]
    missing = [
        Problem("quote-sheet", "error", Place(file, key=f"{name}!A1"), "this sheet is gone", "", "Put it back")
        for name in wanted
        if name not in found
    ]
    return unknown + missing


def _refused(file: str, key: str, found: str, hint: str) -> InputError:
    return InputError([Problem("quote-workbook", "error", Place(file, key=key), found, "", hint)])
