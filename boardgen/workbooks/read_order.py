"""Reads order.xlsx when it comes back: what was entered, and every cell that cannot be used."""

from __future__ import annotations

from collections.abc import Sequence

from boardgen.model.problem import InputError, Place, Problem
from boardgen.purchasing.order import Order
from boardgen.purchasing.quotes import SupplierQuote, reference
from boardgen.workbooks.opened import opened, workbook_problem
from boardgen.workbooks.order import AFTER, BEFORE

_HINT = "Give the specifications, boards, stock and price files it was written with, or the workbook of this order"


def read_order_book(data: bytes, file: str, order: Order) -> tuple[SupplierQuote, ...]:
    """What the workbook of this order holds now, one quote a supplier.

    Only the entries may differ from what was written. Raises InputError with every cell that is not as it must be.
    """
    book = opened(data, file)
    from boardgen.workbooks.order_supplier import names
    from boardgen.workbooks.quoted_sheet import QuotedSheet, reference_cell

    wanted = names(order)
    found = [book[name] for name in book.sheetnames if name.startswith("Buy ") and hasattr(book[name], "cell")]
    marks = [(f"{s.title}!{cell.coordinate}", cell.value) for s in found if (cell := reference_cell(s))]
    if not marks:
        raise workbook_problem(
            file, "", "it is not a workbook that an order was written to", "Give order.xlsx of this order"
        )
    for address, mark in marks:
        if mark != reference(order):
            raise workbook_problem(file, address, f"it is of the order {mark}, and this is {reference(order)}", _HINT)
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
