"""Reads lines and terms of an earlier order.xlsx, of this order or of another, to tell what has changed since."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from decimal import Decimal

from openpyxl.cell import Cell
from openpyxl.worksheet.worksheet import Worksheet

from boardgen.model.problem import InputError, Place, Problem
from boardgen.purchasing.offer import price_at
from boardgen.purchasing.order import SupplierTerms
from boardgen.purchasing.quotes import LineQuote, PastLine, PastSupplier
from boardgen.tables.fault import FieldError
from boardgen.workbooks.entries import LEAD, ORDER_CODE, TERM_ENTRIES, price_entry, quantity_entry
from boardgen.workbooks.order_supplier import AT, LABELS_AT, TERM_LABELS, TITLE
from boardgen.workbooks.price_breaks import formula_breaks
from boardgen.workbooks.read_cells import MOST_DECIMALS, number_of, opened, supplier_sheets_of, text_of
from boardgen.workbooks.read_order import heading_row, line_rows

_NOBODY = ("", "any", "none")
_LABELS = {
    name: re.compile(re.escape(text).replace(r"\{", "(?P<").replace(r"\}", ">[A-Z]{3})"))
    for name, text in TERM_LABELS.items()
}
"""What each label may be, and which currencies it names."""


def read_past_order(data: bytes, file: str) -> tuple[PastSupplier, ...]:
    """Lines and terms of every supplier's sheet. Raises InputError with every cell that cannot be used."""
    problems: list[Problem] = []
    sheets = supplier_sheets_of(opened(data, file), file, "Give an order.xlsx")
    found = [_supplier(sheet, file, problems) for sheet in sheets]
    if problems:
        raise InputError(problems)
    return tuple(supplier for supplier in found if supplier)


def _supplier(sheet: Worksheet, file: str, problems: list[Problem]) -> PastSupplier | None:
    title, top = str(sheet.cell(1, 1).value), heading_row(sheet)
    if not title.startswith(TITLE) or top is None:
        said = "this is not the sheet of a supplier"
        problems.append(Problem("quote-sheet", "error", Place(file, key=f"{sheet.title}!A1"), said))
        return None
    lines = (_line(sheet, row, file, problems) for row in line_rows(sheet, top))
    kept = tuple(line for line in lines if line)
    entered, currencies = _terms(sheet, top, file, problems)
    if "money" not in currencies:
        found = "the terms of the supplier are gone from below the sums"
        problems.append(Problem("quote-cell", "error", Place(file, key=f"{sheet.title}!{LABELS_AT}{top}"), found))
        return None
    rate = entered.pop("rate", Decimal(1))
    terms = SupplierTerms(title.removeprefix(TITLE), currencies["money"], **entered)  # type: ignore[arg-type]
    return PastSupplier(terms, rate, currencies.get("order", terms.currency), kept)


def _terms(sheet: Worksheet, top: int, file: str, problems: list[Problem]) -> tuple[dict[str, Decimal], dict[str, str]]:
    """The entries below the sums that are not blank, by the name of their field, and the currencies they are in."""
    entered: dict[str, Decimal] = {}
    currencies: dict[str, str] = {}
    for row in range(top + 1, sheet.max_row + 1):
        label, cell = str(sheet[f"{LABELS_AT}{row}"].value), sheet[f"{AT['line_total']}{row}"]
        for name, pattern in _LABELS.items():
            if said := pattern.fullmatch(label):
                currencies |= said.groupdict()
                try:
                    number = number_of(cell, TERM_ENTRIES[name], MOST_DECIMALS, needed=name == "rate")
                except FieldError as fault:
                    place = Place(file, key=f"{sheet.title}!{cell.coordinate}")
                    problems.append(Problem("quote-cell", "error", place, fault.found, fault.wanted))
                else:
                    entered |= {} if number is None else {name: number}
    return entered, currencies


def _line(sheet: Worksheet, row: int, file: str, problems: list[Problem]) -> PastLine | None:
    at = {column: sheet[f"{letter}{row}"] for column, letter in AT.items()}
    unit = str(at["unit"].value)
    read: dict[str, Callable[[Cell], str | Decimal | None]] = {
        "order_code": lambda cell: text_of(cell, ORDER_CODE),
        "quantity": lambda cell: number_of(cell, quantity_entry(unit), MOST_DECIMALS),
        "unit_price": lambda cell: _followed(cell, values) or number_of(cell, price_entry(""), MOST_DECIMALS),
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
    return PastLine(key, name or key, unit, quote)


def _followed(cell: Cell, values: Mapping[str, str | Decimal | None]) -> Decimal | None:
    """The price of the breaks at the line's quantity, where the formula that looks it up stands in the cell."""
    breaks = formula_breaks(str(cell.value), AT["quantity"], cell.row)
    return price_at(breaks, Decimal(values["quantity"] or 0)) if breaks else None
