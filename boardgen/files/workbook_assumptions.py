"""The sheet of doubts: what to verify before ordering, and every figure that was neither read nor measured."""

from __future__ import annotations

from openpyxl.worksheet.worksheet import Worksheet

from boardgen.files import workbook_style as style
from boardgen.files.workbook_rows import WorkbookContent
from boardgen.files.workbook_sheet import Sheet

NAME = "Assumptions"
_TICK_BOX = "[ ]"
_COLUMNS = (
    style.Column("Checked", "code"),
    style.Column("What", widest=60),
    style.Column("Value", "code", 34),
    style.Column("Standing", widest=12),
    style.Column("Source", widest=50),
)


def assumptions_sheet(worksheet: Worksheet, content: WorkbookContent) -> Sheet:
    """Writes the sheet, the list of what to do first."""
    sheet = Sheet(worksheet, _COLUMNS)
    sheet.line(f"{content.title}: verify before you order", style.TITLE)
    sheet.line("Recalled, assumed and computed figures were not seen in a maker's sheet nor measured.", style.SOFT)
    sheet.next_row += 1
    sheet.heading()
    sheet.group("Verify before you order")
    for sentence in content.verify:
        sheet.sentence(_TICK_BOX, sentence)
    if not content.verify:
        sheet.line("Nothing is listed.")
    sheet.group("Figures neither read nor measured")
    for row in content.assumptions:
        sheet.row((_TICK_BOX, f"{row.part}: {row.figure}", row.value, row.standing, row.source))
    if not content.assumptions:
        sheet.line("There is none.")
    sheet.finish(content.title, content.revision)
    return sheet
