"""The sheet for the winder: core, wire, turns and what to measure."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from openpyxl.worksheet.worksheet import Worksheet

from boardgen.workbooks import style
from boardgen.workbooks.cells import Formula, Number
from boardgen.workbooks.rows import WindingRow, WoundBoard
from boardgen.workbooks.sheet import Sheet

NAME = "Windings"
_COLUMNS = (
    style.Column("Designators", "code", 24),
    style.Column("Core", widest=28),
    style.Column("Wire", widest=28),
    style.Column("Primary\nturns", "number"),
    style.Column("Secondary\nturns", "number"),
    style.Column("Primary\nwire m", "number"),
    style.Column("Secondary\nwire m", "number"),
    style.Column("To wind,\nall boards", "number"),
    style.Column("Wire m,\nall boards", "number"),
    style.Column("Start marks", widest=40),
    style.Column("Primary\ninductance uH", "number"),
    style.Column("Strips", widest=28),
)
_WIRE_COLUMN = 9


def windings_sheet(worksheet: Worksheet, title: str, mark: str, boards: Sequence[WoundBoard]) -> Sheet:
    """Writes the sheet, a row for each kind of winding; boards under their titles where there are several."""
    sheet = Sheet(worksheet, _COLUMNS)
    sheet.line(f"{title}: windings", style.TITLE)
    sheet.line(
        "A turn is one pass through both holes. Wire is for one winding with its leads. Measure the inductance before "
        "building in.",
        style.SOFT,
    )
    sheet.next_row += 1
    sheet.heading()
    metres: list[tuple[str, Decimal]] = []
    for board in boards:
        if len(boards) > 1:
            sheet.group(f"{board.title}: {'1 board' if board.boards == 1 else f'{board.boards} boards'}")
        metres += [(f"I{sheet.next_row}", _row(sheet, winding, board)) for winding in board.rows]
        if not board.rows:
            sheet.line("Nothing is wound for this board.")
    if metres:
        total = Formula(f"={'+'.join(cell for cell, _ in metres)}", sum((m for _, m in metres), Decimal()), 2)
        sheet.total("Wire in all windings", _WIRE_COLUMN, total, first=True, unit="m, without spares")
    sheet.finish(title, mark)
    return sheet


def _row(sheet: Sheet, winding: WindingRow, board: WoundBoard) -> Decimal:
    """Writes a kind of winding; returns the metres of wire that all boards take."""
    row, each, count = sheet.next_row, len(winding.refs), len(winding.refs) * board.boards
    lengths = [Decimal(f"{length:.2f}") for length in (winding.primary_length_m, winding.secondary_length_m)]
    metres = count * sum(lengths, Decimal())
    sheet.row(
        (
            " ".join(winding.refs),
            winding.core,
            winding.wire,
            Number(winding.primary_turns),
            Number(winding.secondary_turns),
            Number(lengths[0], 2),
            Number(lengths[1], 2),
            Formula(f"={each}*{board.cell}", Decimal(count)),
            Formula(f"=H{row}*(F{row}+G{row})", metres, 2),
            winding.start_marks,
            Number(round(winding.inductance_h * 1e6, 6), 1),
            ", ".join(winding.strips),
        )
    )
    return metres
