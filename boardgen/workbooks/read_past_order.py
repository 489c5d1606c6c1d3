"""Reads the lines of an earlier order.xlsx, of this order or of another, to tell what has changed since."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import TYPE_CHECKING

from boardgen.model.problem import InputError, Place, Problem
from boardgen.purchasing.fields import FieldError
from boardgen.purchasing.quotes import LineQuote, PastLine
from boardgen.workbooks.opened import opened, workbook_problem

if TYPE_CHECKING:
    from openpyxl.cell import Cell
    from openpyxl.worksheet.worksheet import Worksheet

TITLE = "Order to "
_NOBODY = ("", "any", "none")


def read_past_order(data: bytes, file: str) -> tuple[PastLine, ...]:
    """The lines of every supplier's sheet. Raises InputError with every cell that cannot be used."""
    book = opened(data, file)
    found: list[PastLine] = []
    problems: list[Problem] = []
    sheets = [book[name] for name in book.sheetnames if name.startswith("Buy ") and hasattr(book[name], "cell")]
    for sheet in sheets:
        found += _lines(sheet, file, problems)
    if not sheets:
        raise workbook_problem(file, "", "it is not a workbook that an order was written to", "Give an order.xlsx")
    if problems:
        raise InputError(problems)
    return tuple(found)


def _lines(sheet: Worksheet, file: str, problems: list[Problem]) -> Iterator[PastLine]:
    from boardgen.workbooks.quoted_sheet import heading_row, line_rows

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
    from boardgen.workbooks import order_supplier as at
    from boardgen.workbooks.entries import LEAD, ORDER_CODE, price_entry, quantity_entry
    from boardgen.workbooks.quoted_cell import MOST_DECIMALS, number_of, text_of

    unit = str(sheet[f"G{row}"].value)
    read: dict[str, Callable[[Cell], str | Decimal | None]] = {
        at.CODE: lambda cell: text_of(cell, ORDER_CODE),
        at.QUANTITY: lambda cell: number_of(cell, quantity_entry(unit), MOST_DECIMALS),
        at.PRICE: lambda cell: number_of(cell, price_entry(""), MOST_DECIMALS),
        at.LEAD_DAYS: lambda cell: number_of(cell, LEAD, 0, needed=False),
    }
    values: dict[str, str | Decimal | None] = {}
    for column, of in read.items():
        try:
            values[column] = of(sheet[f"{column}{row}"])
        except FieldError as fault:
            place = Place(file, key=f"{sheet.title}!{column}{row}")
            problems.append(Problem("quote-cell", "error", place, fault.found, fault.wanted))
            return None
    maker, number = (str(sheet[f"{column}{row}"].value or "") for column in "CD")
    name = " ".join(word for word in ("" if maker in _NOBODY else maker, number) if word)
    lead = values[at.LEAD_DAYS]
    quote = LineQuote(
        str(values[at.CODE]),
        Decimal(values[at.QUANTITY] or 0),
        Decimal(values[at.PRICE] or 0),
        None if lead is None else int(lead),
    )
    key = str(sheet[f"{at.KEY}{row}"].value)
    return PastLine(supplier, key, name or key, unit, quote)
