"""The sheet that lists what was entered by hand in the workbook before this one."""

from __future__ import annotations

from decimal import Decimal

from openpyxl.worksheet.worksheet import Worksheet

from boardgen.files import workbook_style as style
from boardgen.files.order_content import OrderContent
from boardgen.files.workbook_cells import Content, Number
from boardgen.files.workbook_sheet import Sheet
from boardgen.purchasing.part_name import part_name

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
    sheet.line(f"{title}: what was changed by hand", style.TITLE)
    said = f"Read from {content.previous}." if content.previous else "This is the first: no earlier workbook was read."
    sheet.line(said, style.SOFT)
    sheet.next_row += 1
    sheet.heading()
    for change in content.changes:
        number: Content = "" if change.line is None else Number(Decimal(change.line))
        part = "terms of the supplier" if change.part is None else part_name(change.part)
        sheet.row((change.supplier, number, part, change.what, change.before, change.after))
    if not content.changes:
        sheet.line("Nothing was changed.")
    sheet.finish(title, mark)
    return sheet
