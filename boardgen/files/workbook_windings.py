"""The sheet for the winder: core, wire, turns and what to measure."""

from __future__ import annotations

from openpyxl.worksheet.worksheet import Worksheet

from boardgen.files import workbook_style as style
from boardgen.files.workbook_rows import WorkbookContent
from boardgen.files.workbook_sheet import Number, Sheet

NAME = "Windings"
_COLUMNS = (
    style.Column("Designators", "code", 24),
    style.Column("Core", widest=28),
    style.Column("Wire", widest=28),
    style.Column("Primary\nturns", "number"),
    style.Column("Secondary\nturns", "number"),
    style.Column("Primary\nwire m", "number"),
    style.Column("Secondary\nwire m", "number"),
    style.Column("Start marks", widest=40),
    style.Column("Primary\ninductance uH", "number"),
    style.Column("Strips", widest=28),
)


def windings_sheet(worksheet: Worksheet, content: WorkbookContent) -> Sheet:
    """Writes the sheet, a row for each kind of winding."""
    sheet = Sheet(worksheet, _COLUMNS)
    sheet.line(f"{content.title}: windings", style.TITLE)
    sheet.line(
        "A turn is one pass through both holes. Wire is for one winding with its leads. Measure the inductance before "
        "building in.",
        style.SOFT,
    )
    sheet.next_row += 1
    sheet.heading()
    for winding in content.windings:
        sheet.row(
            (
                " ".join(winding.refs),
                winding.core,
                winding.wire,
                Number(winding.primary_turns),
                Number(winding.secondary_turns),
                Number(winding.primary_length_m, 2),
                Number(winding.secondary_length_m, 2),
                winding.start_marks,
                Number(round(winding.inductance_h * 1e6, 6), 1),
                ", ".join(winding.strips),
            )
        )
    if not content.windings:
        sheet.line("Nothing is wound for this board.")
    sheet.finish(content.title, content.revision)
    return sheet
