"""The sheet for the bench: which part goes where, and whether enough was ordered."""

from __future__ import annotations

from decimal import Decimal

from openpyxl.worksheet.worksheet import Worksheet

from boardgen.purchasing.bill import Bill, BillLine, board_value
from boardgen.purchasing.money import decimal_places
from boardgen.workbooks import style
from boardgen.workbooks.amounts import quantity_places
from boardgen.workbooks.bill_order import NAME as ORDER
from boardgen.workbooks.bill_order import PRICE, QUANTITY
from boardgen.workbooks.cells import Formula, Number, half_up
from boardgen.workbooks.rows import UnfittedRow, WorkbookContent
from boardgen.workbooks.sheet import Sheet

NAME = "Board"
_FIRST_ROW = 5
_VALUE_COLUMN = 10


def value_cell(bill: Bill) -> str:
    """Where the sheet has the cost of what goes into one board."""
    return f"{NAME}!J{_FIRST_ROW + max(1, len(bill.lines))}"


def board_sheet(worksheet: Worksheet, content: WorkbookContent, first_order_row: int, boards: str) -> Sheet:
    """Writes the sheet: fitted parts first, in the order of the bill, then the places that stay empty.

    `boards` is the cell with their number, `first_order_row` that of the first line on the sheet of the order.
    """
    bill = content.bill
    sheet = Sheet(worksheet, _columns(bill.currency))
    sheet.line(f"{content.title}: parts of one board", style.TITLE)
    sheet.line("Needed is for all boards of the order, without spares; it follows the sheet Order.", style.SOFT)
    sheet.next_row = _FIRST_ROW - 1
    sheet.heading()
    for order_row, line in enumerate(bill.lines, first_order_row):
        _fitted(sheet, line, order_row, boards, bill.currency)
    sheet.next_row = max(sheet.next_row, _FIRST_ROW + 1)
    places = decimal_places(bill.currency)
    value = Formula(f"=SUM(J{_FIRST_ROW}:J{sheet.next_row - 1})", bill.board_value, places)
    sheet.total("Parts in one board", _VALUE_COLUMN, value, first=True)
    if content.unfitted:
        sheet.group("Not fitted")
    for row in content.unfitted:
        _unfitted(sheet, row)
    sheet.finish(content.title, f"revision {content.revision}")
    return sheet


def _columns(currency: str) -> tuple[style.Column, ...]:
    return (
        style.Column("Designators", "code", 30),
        style.Column("Value", "code", 18),
        style.Column("Description", widest=36),
        style.Column("Part", widest=28),
        style.Column("Per board", "number"),
        style.Column("Fitted", widest=10),
        style.Column("Needed", "number"),
        style.Column("Ordered", "number"),
        style.Column("Left over", "number", 12),
        style.Column(f"In one\nboard {currency}", "number"),
    )


def _fitted(sheet: Sheet, line: BillLine, order_row: int, boards: str, currency: str) -> None:
    row, places, money = sheet.next_row, quantity_places(line.unit), decimal_places(currency)
    price = f"{ORDER}!{PRICE}{order_row}"
    value = None if line.unit_price is None else board_value(line, currency)
    # The inner rounding keeps a binary fraction such as 3 x 0.1 from being rounded up by a whole step.
    needed = f"=ROUNDUP(ROUND(E{row}*{boards},6),{places})"
    over = style.digits(places)
    sheet.row(
        (
            " ".join(line.refs),
            line.part.value,
            line.part.description,
            line.part.name,
            Number(line.per_board, max(places, 2) if line.unit == "m" else places),
            "fitted",
            Formula(needed, line.needed, places),
            Formula(f"={ORDER}!{QUANTITY}{order_row}", line.ordered, places),
            Formula(f"=H{row}-G{row}", line.ordered - line.needed, places, f'{over};"short by "{over}'),
            Formula(f'=IF(ISNUMBER({price}),{half_up(f"E{row}*{price}", currency)},"")', value, money),
        )
    )


def _unfitted(sheet: Sheet, row: UnfittedRow) -> None:
    count = Number(Decimal(len(row.refs)))
    place = (" ".join(row.refs), row.part.value, row.part.description, row.part.name)
    sheet.row((*place, count, "not fitted", "", "", "", ""))
