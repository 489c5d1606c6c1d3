"""The sheet of doubts: what to verify before ordering, and every figure that was neither read nor measured."""

from __future__ import annotations

from collections.abc import Sequence

from openpyxl.worksheet.worksheet import Worksheet

from boardgen.workbooks import style
from boardgen.workbooks.rows import AssumptionRow, FigureRow
from boardgen.workbooks.sheet import Sheet

NAME = "Assumptions"
_TICK_BOX = "[ ]"
_COLUMNS = (
    style.Column("Checked", "code"),
    style.Column("What", widest=60),
    style.Column("Value", "code", 34),
    style.Column("Standing", widest=14),
    style.Column("Source", widest=50),
)


def assumptions_sheet(
    worksheet: Worksheet,
    title: str,
    mark: str,
    verify: Sequence[str],
    assumptions: Sequence[AssumptionRow],
    money: Sequence[FigureRow] = (),
) -> Sheet:
    """Writes the sheet, the list of what to do first. `money` are the figures that an order's costs rest on."""
    sheet = Sheet(worksheet, _COLUMNS)
    sheet.line(f"{title}: verify before you order", style.TITLE)
    sheet.line("Recalled, assumed and computed figures were not seen in a maker's sheet nor measured.", style.SOFT)
    sheet.next_row += 1
    sheet.heading()
    sheet.group("Verify before you order")
    for sentence in verify:
        sheet.sentence(_TICK_BOX, sentence)
    if not verify:
        sheet.line("Nothing is listed.")
    if money:
        sheet.group("What the costs rest on")
    for figure in money:
        sheet.row((_TICK_BOX, figure.what, figure.value, figure.standing, figure.source))
    sheet.group("Figures neither read nor measured")
    for row in assumptions:
        sheet.row((_TICK_BOX, f"{row.part}: {row.figure}", row.value, row.standing, row.source))
    if not assumptions:
        sheet.line("There is none.")
    sheet.finish(title, mark)
    return sheet
