"""Reads the lines of an earlier order.xlsx, of this order or of another, to tell what has changed since."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal

from openpyxl.cell import Cell
from openpyxl.worksheet.worksheet import Worksheet

from boardgen.model.problem import InputError, Place, Problem
from boardgen.purchasing.quotes import LineQuote, PastLine
from boardgen.tables.fault import FieldError
from boardgen.workbooks.entries import LEAD, ORDER_CODE, price_entry, quantity_entry
from boardgen.workbooks.order_supplier import AT, TITLE
from boardgen.workbooks.read_cells import MOST_DECIMALS, number_of, opened, supplier_sheets_of, text_of
from boardgen.workbooks.read_order import heading_row, line_rows

_NOBODY = ("", "any", "none")


def read_past_order(data: bytes, file: str) -> tuple[PastLine, ...]:
    """The lines of every supplier's sheet. Raises InputError with every cell that cannot be used."""
    found: list[PastLine] = []
    problems: list[Problem] = []
    for sheet in supplier_sheets_of(opened(data, file), file, "Give an order.xlsx"):
        found += _lines(sheet, file, problems)
    if problems:
        raise InputError(problems)
    return tuple(found)


def _lines(sheet: Worksheet, file: str, problems: list[Problem]) -> Iterator[PastLine]:
    title, top = str(sheet.cell(1, 1).value), heading_row(sheet)
    if not title.startswith(TITLE) or top is None:
        said = "this is not the sheet of a supplier"
        problems.append(Problem("quote-sheet", "error", Place(file, key=f"{sheet.title}!A1"), said))
        return
    for row in line_rows(sheet, top):
        line = _line(sheet, row, title.removeprefix(TITLE), file, problems)
        if line:
            yield line


def _line(sheet: Worksheet, row: int, supplier: str, file: str, problems: list[Problem]) -> PastLine | None:
    at = {column: sheet[f"{letter}{row}"] for column, letter in AT.items()}
    unit = str(at["unit"].value)
    read: dict[str, Callable[[Cell], str | Decimal | None]] = {
        "order_code": lambda cell: text_of(cell, ORDER_CODE),
        "quantity": lambda cell: number_of(cell, quantity_entry(unit), MOST_DECIMALS),
        "unit_price": lambda cell: number_of(cell, price_entry(""), MOST_DECIMALS),
        "lead_days": lambda cell: number_of(cell, LEAD, 0, needed=False),
    }
    values: dict[str, str | Decimal | None] = {}
    for column, of in read.items():
        try:
            values[column] = of(at[column])
        except FieldError as fault:
            place = Place(file, key=f"{sheet.title}!{at[column].coordinate}")
            problems.append(Problem("quote-cell", "error", place, fault.found, fault.wanted))
            return None
    maker, number = (str(at[column].value or "") for column in ("maker", "number"))
    name = " ".join(word for word in ("" if maker in _NOBODY else maker, number) if word)
    lead = values["lead_days"]
    quote = LineQuote(
        str(values["order_code"]),
        Decimal(values["quantity"] or 0),
        Decimal(values["unit_price"] or 0),
        None if lead is None else int(lead),
    )
    key = str(at["part"].value)
    return PastLine(supplier, key, name or key, unit, quote)
