"""Reads order.xlsx when it comes back: what was entered, and every cell that cannot be used."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from decimal import Decimal
from typing import TypeVar, cast

from msgspec import Struct
from msgspec.structs import replace
from openpyxl.cell import Cell
from openpyxl.worksheet.worksheet import Worksheet

from boardgen.model.problem import InputError, Place, Problem
from boardgen.purchasing.money import decimal_places
from boardgen.purchasing.offer import price_at
from boardgen.purchasing.order import Order, OrderLine, SupplierOrder
from boardgen.purchasing.quotes import LineQuote, SupplierQuote, line_quote, reference
from boardgen.tables.fault import FieldError
from boardgen.workbooks.cells import cell_text
from boardgen.workbooks.entries import LEAD, ORDER_CODE, TERM_ENTRIES, price_entry, quantity_entry, quantity_places
from boardgen.workbooks.order import titles_of
from boardgen.workbooks.order_supplier import AT, LABELS_AT, columns, supplier_titles, term_labels
from boardgen.workbooks.price_breaks import formula_breaks
from boardgen.workbooks.read_cells import (
    MOST_DECIMALS,
    no_order,
    number_of,
    opened,
    supplier_sheets_of,
    text_of,
    workbook_problem,
)
from boardgen.workbooks.read_tracking import Tracked, read_tracking

_Value = TypeVar("_Value")
MOST_ROWS = 10_000
_REFERENCE, _LINE, _GOODS = "Reference", "Line", "Goods"
_BLANK_MAY = ("free_from", "minimum_order")
_PUT_BACK = "Put it back as it was written"
_HINT = "Give the specifications, boards, stock and price files it was written with, or the workbook of this order"


class Returned(Struct, frozen=True):
    """What came back: the order as the workbook shows it, what its sheets hold now, and which lines shall be moved.

    `quotes` are one a supplier of `order`; `moves` are suppliers by the positions of lines.
    """

    order: Order
    quotes: tuple[SupplierQuote, ...]
    moves: Mapping[int, str]


Move = Callable[[Order, Mapping[int, str]], Order]


def read_order(data: bytes, file: str, order: Order, move: Move) -> Returned:
    """What the workbook of this order holds now.

    Only the entries may differ from what was written.

    Parameters
    ----------
    data, file
        The workbook and its name.
    order
        As it was chosen.
    move
        The order with lines moved to other suppliers, as `boardgen.purchasing.moved_lines` does it.

    Raises
    ------
    InputError
        With every cell that is not as it must be.

    """
    book = opened(data, file)
    hint = "Give order.xlsx of this order"
    found = supplier_sheets_of(book, file, hint)
    marks = [(f"{s.title}!{cell.coordinate}", cell.value) for s in found if (cell := _reference_cell(s))]
    if not marks:
        raise no_order(file, hint)
    for address, mark in marks:
        if mark != reference(order):
            raise workbook_problem(file, address, f"it is of the order {mark}, and this is {reference(order)}", _HINT)
    tracked, problems = read_tracking(book, file, order)
    shown = move(order, {position: line.at for position, line in tracked.items()})
    problems += _sheet_problems(book.sheetnames, titles_of(shown), file)
    quotes: list[SupplierQuote] = []
    for title, supplier in zip(supplier_titles(shown), shown.suppliers, strict=True):
        if title in book.sheetnames:
            sheet = _QuotedSheet(book[title], file, shown, supplier)
            quote = sheet.quote()
            problems += sheet.problems
            quotes += [_tracked(supplier, quote, tracked)] if quote else []
    if problems:
        raise InputError(problems)
    moves = {position: line.buy_at for position, line in tracked.items() if line.buy_at != line.at}
    return Returned(shown, tuple(quotes), moves)


def _tracked(supplier: SupplierOrder, quote: SupplierQuote, tracked: Mapping[int, Tracked]) -> SupplierQuote:
    """The quote with what was noted of its lines; of a line that is moved only the quantity counts."""
    lines = []
    for line, entered in zip(supplier.lines, quote.lines, strict=True):
        noted = tracked.get(line.position)
        if noted and noted.buy_at != noted.at:
            entered = replace(line_quote(line), quantity=entered.quantity)
        lines.append(replace(entered, progress=noted.progress) if noted else entered)
    return replace(quote, lines=tuple(lines))


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


def _reference_cell(sheet: Worksheet) -> Cell | None:
    """The cell that holds the reference of the order, None where there is none."""
    for row in range(1, 20):
        if sheet.cell(row, 1).value == _REFERENCE:
            return cast(Cell, sheet.cell(row, 2))
    return None


def heading_row(sheet: Worksheet) -> int | None:
    """The row of the table's heading, None where it is gone."""
    return next((row for row in range(1, 40) if sheet.cell(row, 1).value == _LINE), None)


def _goods_row(sheet: Worksheet, top: int) -> int | None:
    """The row with the sum of the goods, None where it is gone; `top` is that of the heading."""
    rows = range(top + 1, min(sheet.max_row, MOST_ROWS) + 1)
    return next((row for row in rows if sheet[f"{LABELS_AT}{row}"].value == _GOODS), None)


def line_rows(sheet: Worksheet, top: int) -> Iterator[int]:
    """The rows between heading and sum that are not blank."""
    for row in range(top + 1, _goods_row(sheet, top) or top + 1):
        if any(sheet[f"{column}{row}"].value is not None for column in AT.values()):
            yield row


class _QuotedSheet:
    """Reads the sheet of a supplier and gathers what is wrong with it."""

    def __init__(self, sheet: Worksheet, file: str, order: Order, supplier: SupplierOrder) -> None:
        self.sheet = sheet
        self.file = file
        self.order = order
        self.supplier = supplier
        self.problems: list[Problem] = []

    def quote(self) -> SupplierQuote | None:
        """What was entered; None where anything is wrong."""
        top = heading_row(self.sheet)
        if top is None:
            self._fault("A1", "the heading of the lines is gone", "", _PUT_BACK)
            return None
        self._headings(top)
        end = _goods_row(self.sheet, top)
        if end is None:
            below = top + len(self.supplier.lines) + 1
            self._fault(f"{LABELS_AT}{below}", "the sum of the goods is gone", "", _PUT_BACK)
            return None
        lines = self._lines(top)
        terms = self._terms(end)
        rate = terms.pop("rate", self.supplier.rate)
        if self.problems or rate is None:
            return None
        return SupplierQuote(replace(self.supplier.terms, **terms), rate, lines)

    def _headings(self, row: int) -> None:
        for number, column in enumerate(columns(self.supplier.currency), 1):
            cell = self.sheet.cell(row, number)
            if cell.value != column.heading:
                wanted = f"the heading {column.heading!r}".replace("\\n", " ")
                self._fault(cell.coordinate, f"it is {cell.value!r}", wanted, _PUT_BACK)

    def _lines(self, top: int) -> tuple[LineQuote, ...]:
        """The lines in the order they were written, wherever they stand now."""
        found: dict[int, LineQuote | None] = {}
        for row in line_rows(self.sheet, top):
            number = self.sheet.cell(row, 1).value
            if not isinstance(number, int) or not 1 <= number <= len(self.supplier.lines):
                self._fault(f"A{row}", f"{number!r} is no line of this order", "only the lines as written", _PUT_BACK)
            elif number in found:
                self._fault(f"A{row}", f"line {number} stands there twice", "each line once", _PUT_BACK)
            else:
                found[number] = self._line(row, self.supplier.lines[number - 1])
        for number, line in enumerate(self.supplier.lines, 1):
            if number not in found:
                said = f"line {number}, {line.part.key}, is gone"
                self._fault(f"A{top + number}", said, "every line as written", "Put it back; 0 is not to buy it")
        return tuple(quote for _, quote in sorted(found.items()) if quote)

    def _line(self, row: int, line: OrderLine) -> LineQuote | None:
        at = {name: f"{column}{row}" for name, column in AT.items()}
        written = {
            "maker": line.part.maker,
            "number": line.part.number,
            "description": line.part.description,
            "unit": line.unit,
            "part": line.part.key,
        }
        for name, text in written.items():
            value = self.sheet[at[name]].value
            if ("" if value is None else cell_text(str(value))) != cell_text(text):
                self._fault(at[name], f"it is {value!r}", f"{text!r}, as written", _PUT_BACK)
        if self.sheet[at["line_total"]].data_type != "f":
            self._fault(at["line_total"], "the formula of the line total is gone", "", _PUT_BACK)
        code = self._read(at["order_code"], lambda cell: text_of(cell, ORDER_CODE))
        places = quantity_places(line.unit)
        quantity = self._read(at["quantity"], lambda cell: number_of(cell, quantity_entry(line.unit), places))
        price = price_entry(self.supplier.currency)
        if self._follows(at, line):
            unit_price = None if quantity is None else price_at(line.breaks, quantity)
        else:
            unit_price = self._read(at["unit_price"], lambda cell: number_of(cell, price, MOST_DECIMALS))
        lead = self._read(at["lead_days"], lambda cell: number_of(cell, LEAD, 0, needed=False))
        if code is None or quantity is None or unit_price is None:
            return None
        return LineQuote(code, quantity, unit_price, None if lead is None else int(lead))

    def _follows(self, at: Mapping[str, str], line: OrderLine) -> bool:
        """Whether the formula still stands there that looks up the price of the line's breaks at its quantity."""
        cell = self.sheet[at["unit_price"]]
        breaks = formula_breaks(str(cell.value), AT["quantity"], cell.row)
        return bool(breaks) and breaks == line.breaks

    def _terms(self, end: int) -> dict[str, Decimal | None]:
        """The terms below the sums, by the name of their field, and the rate where there is one."""
        places = decimal_places(self.supplier.currency)
        found: dict[str, Decimal | None] = {}
        rows = range(end + 1, min(self.sheet.max_row, end + 40) + 1)
        labels = {self.sheet[f"{LABELS_AT}{row}"].value: f"{AT['line_total']}{row}" for row in rows}
        for field, label in term_labels(self.supplier, self.order).items():
            if label not in labels:
                self._fault(f"{LABELS_AT}{end}", f"{label!r} is gone from below the sums", "", _PUT_BACK)
                continue
            decimals = MOST_DECIMALS if field in ("rate", "tax_percent") else places
            entry, needed = TERM_ENTRIES[field], field not in _BLANK_MAY
            found[field] = self._read(labels[label], lambda c: number_of(c, entry, decimals, needed=needed))  # noqa: B023
        return found

    def _read(self, address: str, read: Callable[[Cell], _Value]) -> _Value | None:
        try:
            return read(self.sheet[address])
        except FieldError as fault:
            self._fault(address, fault.found, fault.wanted, "Enter it again")
            return None

    def _fault(self, address: str, found: str, wanted: str, hint: str) -> None:
        place = Place(self.file, key=f"{self.sheet.title}!{address}")
        self.problems.append(Problem("quote-cell", "error", place, found, wanted, hint))
