"""The sheet for the buyer: what to order, where, and what it comes to."""

from __future__ import annotations

from decimal import Decimal

from msgspec import Struct
from openpyxl.worksheet.worksheet import Worksheet

from boardgen.purchasing.bill import Bill, BillLine
from boardgen.purchasing.money import decimal_places, plain
from boardgen.workbooks import style
from boardgen.workbooks.amounts import most_places, price_entry_cell, quantity_places
from boardgen.workbooks.cells import Formula, Number, TextEntry, half_up
from boardgen.workbooks.entries import BOARDS, LEAD, ORDER_CODE, SUPPLIER, quantity_entry
from boardgen.workbooks.line_note import line_note
from boardgen.workbooks.rows import WorkbookContent
from boardgen.workbooks.sheet import Sheet

NAME = "Order"
QUANTITY, PRICE, TOTAL = "E", "I", "J"
_TOTAL_COLUMN = 10


class OrderSheet(Struct, frozen=True):
    """The sheet and where the other sheets find its numbers: the row of the first line, and the cell of the boards."""

    sheet: Sheet
    first_row: int
    boards: str


def order_sheet(worksheet: Worksheet, content: WorkbookContent, parts_in_one_board: str) -> OrderSheet:
    """Writes the sheet. `parts_in_one_board` is where the sheet of the board has that sum."""
    bill = content.bill
    sheet = Sheet(worksheet, _columns(bill.currency))
    sheet.line(content.title, style.TITLE)
    sheet.line(_subtitle(content), style.SOFT)
    for caution in _cautions(bill):
        sheet.line(caution, style.SOFT)
    boards = sheet.setting("Boards", Number(Decimal(bill.boards), entry=BOARDS))
    sheet.next_row += 1
    sheet.heading()
    first = sheet.next_row
    for number, line in enumerate(bill.lines, 1):
        _line(sheet, number, line, bill)
    _totals(sheet, first, bill, boards, parts_in_one_board)
    sheet.finish(content.title, f"revision {content.revision}")
    return OrderSheet(sheet, first, f"{NAME}!{boards}")


def _columns(currency: str) -> tuple[style.Column, ...]:
    return (
        style.Column("Line", "number"),
        style.Column("Maker", widest=14),
        style.Column("Maker's number", "code", 20),
        style.Column("Description", widest=28),
        style.Column("Quantity\nenter", "number"),
        style.Column("Unit"),
        style.Column("Supplier\nenter", widest=18),
        style.Column("Order code\nenter", "code", 20),
        style.Column(f"Unit price\n{currency}, enter", "number"),
        style.Column(f"Line total\n{currency}", "number"),
        style.Column("Lead days\nenter", "number"),
        style.Column("Note", widest=40),
    )


def _subtitle(content: WorkbookContent) -> str:
    bill = content.bill
    boards = "1 board" if bill.boards == 1 else f"{bill.boards} boards"
    days = sorted({line.as_of.isoformat() for line in bill.lines if line.as_of})
    asked = f", asked {' to '.join(dict.fromkeys((days[0], days[-1])))}" if days else ""
    own = ", other kinds of parts as specified" if bill.spares.by_kind else ""
    spares = f"{plain(bill.spares.fraction * 100)} % spares{own}"
    return f"Revision {content.revision}: order for {boards} with {spares}; prices in {bill.currency}{asked}"


def _cautions(bill: Bill) -> list[str]:
    cautions = [
        "Boxed cells are for entry, and totals follow them; all others are locked, without a password. A unit price "
        "does not follow its quantity, so look at the price breaks."
    ]
    if any(line.invented for line in bill.lines):
        cautions.append("Prices marked invented are for demonstration: nothing can be ordered at them.")
    return cautions


def _line(sheet: Sheet, number: int, line: BillLine, bill: Bill) -> None:
    row, places = sheet.next_row, decimal_places(bill.currency)
    sheet.row(
        (
            Number(Decimal(number)),
            line.part.maker,
            line.part.number,
            line.part.description,
            Number(line.ordered, quantity_places(line.unit), entry=quantity_entry(line.unit)),
            line.unit,
            TextEntry(line.supplier, SUPPLIER),
            TextEntry(line.order_code, ORDER_CODE),
            price_entry_cell(line.unit_price, bill.currency, most_places(x.unit_price for x in bill.lines)),
            Formula(f'=IF(ISNUMBER(I{row}),{half_up(f"E{row}*I{row}", bill.currency)},"")', line.line_cost, places),
            Number(None if line.lead_days is None else Decimal(line.lead_days), entry=LEAD),
            line_note(line),
        )
    )


def _totals(sheet: Sheet, first: int, bill: Bill, boards: str, parts_in_one_board: str) -> None:
    last, places = max(first, sheet.next_row - 1), decimal_places(bill.currency)
    add = sheet.total
    order = Formula(f"=SUM({TOTAL}{first}:{TOTAL}{last})", bill.order_total, places)
    total = add("Order total", _TOTAL_COLUMN, order, first=True)
    per_board = Formula(f"={half_up(f'{total}/{boards}', bill.currency)}", bill.total_per_board, places)
    add("Order per board", _TOTAL_COLUMN, per_board)
    add("Parts in one board", _TOTAL_COLUMN, Formula(f"={parts_in_one_board}", bill.board_value, places))
    unpriced = f"=COUNT(A{first}:A{last})-COUNT({PRICE}{first}:{PRICE}{last})"
    add("Lines without a price, left out", _TOTAL_COLUMN, Formula(unpriced, Decimal(len(bill.unpriced))))
