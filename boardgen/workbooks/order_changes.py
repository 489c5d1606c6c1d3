"""The change log: what was entered by hand, and what is different from an earlier workbook."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from openpyxl.worksheet.worksheet import Worksheet

from boardgen.purchasing.quotes import Change
from boardgen.workbooks import style
from boardgen.workbooks.cells import Content, Number
from boardgen.workbooks.order_content import OrderContent
from boardgen.workbooks.sheet import Sheet

NAME = "Changes"
_COLUMNS = (
    style.Column("Supplier", widest=30),
    style.Column("Line", "number"),
    style.Column("Part", widest=36),
    style.Column("What changed", widest=24),
    style.Column("Before", "code", 24),
    style.Column("Now", "code", 24),
)


def changes_sheet(worksheet: Worksheet, content: OrderContent, mark: str) -> Sheet:
    """Writes the sheet, a row a change."""
    title = content.order.title
    sheet = Sheet(worksheet, _COLUMNS)
    sheet.line(f"{title}: what was changed", style.TITLE)
    sheet.line(
        "Before is what the program chose at the prices of the price files, or what stood in the earlier workbook.",
        style.SOFT,
    )
    sheet.next_row += 1
    sheet.heading()
    if content.entered:
        sheet.group(f"Entered by hand, in {content.entered.file}")
        _rows(sheet, content.entered.changes)
    if content.since:
        sheet.group(f"Since {content.since.file}")
        _rows(sheet, content.since.changes)
    if not content.entered and not content.since:
        sheet.line("No earlier workbook was read.")
    sheet.finish(title, mark)
    return sheet


def _rows(sheet: Sheet, changes: Sequence[Change]) -> None:
    for change in changes:
        number: Content = "" if change.line is None else Number(Decimal(change.line))
        part = change.part or "terms of the supplier"
        sheet.row((change.supplier, number, part, change.what, change.before, change.after))
    if not changes:
        sheet.line("Nothing was changed.")
