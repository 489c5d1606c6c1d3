"""Reads the sheet Tracking of an order that came back: where each line is bought, and what was noted of it."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import date, datetime
from typing import cast

from msgspec import Struct
from openpyxl import Workbook
from openpyxl.cell import Cell
from openpyxl.worksheet.worksheet import Worksheet

from boardgen.model.problem import Place, Problem
from boardgen.purchasing.moved_lines import suppliers_of
from boardgen.purchasing.order import Order, OrderLine, Progress
from boardgen.tables.fault import FieldError
from boardgen.workbooks.cells import cell_text
from boardgen.workbooks.entries import quantity_places
from boardgen.workbooks.order_tracking import (
    AT,
    COLUMNS,
    ORDER_NUMBER,
    ORDERED_ON,
    REMARK,
    TITLE,
    received_entry,
)
from boardgen.workbooks.read_cells import number_of, text_of

_PUT_BACK = "Put it back as it was written"
_TOP = 40
"""Rows within which the heading must stand."""


class Tracked(Struct, frozen=True):
    """A line by its position: whose sheet it stands on, of whom it shall be bought, and what was noted."""

    at: str
    buy_at: str
    progress: Progress


def read_tracking(book: Workbook, file: str, order: Order) -> tuple[Mapping[int, Tracked], list[Problem]]:
    """What stands there, by the position of each line of the order as it was chosen, and what is wrong."""
    if TITLE not in book.sheetnames:
        # that a sheet is gone is told where all sheets are looked at
        return {}, []
    reader = _Reader(cast(Worksheet, book[TITLE]), file)
    return reader.read({line.position: (supplier.supplier, line) for supplier, _, line in order.as_chosen})


class _Reader:
    """Reads the sheet and gathers what is wrong with it."""

    def __init__(self, sheet: Worksheet, file: str) -> None:
        self.sheet = sheet
        self.file = file
        self.problems: list[Problem] = []

    def read(self, wanted: Mapping[int, tuple[str, OrderLine]]) -> tuple[Mapping[int, Tracked], list[Problem]]:
        headings = [column.heading for column in COLUMNS]
        top = next((row for row in range(1, _TOP) if self._texts(row) == headings), None)
        if top is None:
            self._fault("A1", "the headings of the lines are not as they were written", "", _PUT_BACK)
            return {}, self.problems
        found: dict[int, Tracked] = {}
        for row in range(top + 1, top + len(wanted) + _TOP):
            number = self.sheet.cell(row, 1).value
            if number is None:
                continue
            if not isinstance(number, int) or number not in wanted or number in found:
                said = f"{number!r} is no line of this order, or stands there twice"
                self._fault(f"A{row}", said, "each line once", _PUT_BACK)
            else:
                found[number] = self._line(row, *wanted[number])
        for number, (_, line) in wanted.items():
            if number not in found:
                said = f"line {number}, {line.part.name}, is gone"
                self._fault(f"A{top + number}", said, "every line as written", _PUT_BACK)
        return found, self.problems

    def _texts(self, row: int) -> list[object]:
        return [self.sheet.cell(row, column).value for column in range(1, len(COLUMNS) + 1)]

    def _line(self, row: int, chosen: str, line: OrderLine) -> Tracked:
        at = {name: cast(Cell, self.sheet[f"{column}{row}"]) for name, column in AT.items()}
        name = at["name"]
        if _said(name) != cell_text(line.part.name):
            self._fault(name.coordinate, f"it is {name.value!r}", f"{line.part.name!r}, as written", _PUT_BACK)
        sellers = {cell_text(name).strip().casefold(): name for name in (chosen, *suppliers_of(line))}
        here = sellers.get(_said(at["supplier"]).strip().casefold(), "")
        if not here:
            said = f"{at['supplier'].value!r} does not sell {line.part.name}"
            self._fault(at["supplier"].coordinate, said, "the supplier as written", _PUT_BACK)
        entered = _said(at["buy_at"]).strip()
        buy_at = sellers.get(entered.casefold(), "") if entered else here
        if entered and not buy_at:
            self._fault(
                at["buy_at"].coordinate,
                f"{entered!r} does not sell {line.part.name} in the price files",
                f"one of {', '.join(sellers.values())}",
                "Enter one of them, or give a price file in which it does",
            )
        return Tracked(here or chosen, buy_at or here or chosen, self._progress(at, line))

    def _progress(self, at: Mapping[str, Cell], line: OrderLine) -> Progress:
        found: dict[str, object] = {}
        readers: dict[str, Callable[[Cell], object]] = {
            "ordered_on": _day,
            "order_number": lambda cell: text_of(cell, ORDER_NUMBER, needed=False),
            "received": lambda cell: number_of(
                cell, received_entry(line.unit), quantity_places(line.unit), needed=False
            ),
            "remark": lambda cell: text_of(cell, REMARK, needed=False),
        }
        for name, read in readers.items():
            try:
                found[name] = read(at[name])
            except FieldError as fault:
                self._fault(at[name].coordinate, fault.found, fault.wanted, "Enter it again")
        return Progress(**found)  # type: ignore[arg-type]

    def _fault(self, address: str, found: str, wanted: str, hint: str) -> None:
        place = Place(self.file, key=f"{TITLE}!{address}")
        self.problems.append(Problem("quote-cell", "error", place, found, wanted, hint))


def _said(cell: Cell) -> str:
    """The text as it was written."""
    return "" if cell.value is None else cell_text(str(cell.value))


def _day(cell: Cell) -> date | None:
    """The day, whether a spreadsheet keeps it as one or as text. Raises FieldError."""
    if isinstance(cell.value, datetime):
        return cell.value.date()
    text = text_of(cell, ORDERED_ON, needed=False)
    if not text:
        return None
    try:
        if re.fullmatch("[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
            return date.fromisoformat(text)
    except ValueError:
        pass
    raise FieldError(found=f"it is {text!r}", wanted="a day, year-month-day, such as 2026-12-01")
