"""bill.xlsx: the order, the board, the windings and the assumptions, with live formulas and their values."""

from __future__ import annotations

from typing import TYPE_CHECKING

from boardgen.workbooks.file import workbook_file
from boardgen.workbooks.rows import WorkbookContent

if TYPE_CHECKING:
    from openpyxl import Workbook

    from boardgen.workbooks.sheet import Sheet


def write_workbook(content: WorkbookContent) -> bytes:
    """The workbook as a file, the same bytes for the same content."""
    return workbook_file(content.title, "Bill of one board", lambda book: _sheets(book, content), content.paper)


def _sheets(book: Workbook, content: WorkbookContent) -> tuple[Sheet, ...]:
    from boardgen.workbooks import assumptions_sheet as workbook_assumptions
    from boardgen.workbooks import bill_board as workbook_board
    from boardgen.workbooks import bill_order as workbook_order
    from boardgen.workbooks import windings_sheet as workbook_windings
    from boardgen.workbooks.rows import WoundBoard

    order = workbook_order.order_sheet(
        book.create_sheet(workbook_order.NAME), content, workbook_board.value_cell(content.bill)
    )
    board = workbook_board.board_sheet(book.create_sheet(workbook_board.NAME), content, order.first_row, order.boards)
    windings = workbook_windings.windings_sheet(
        book.create_sheet(workbook_windings.NAME),
        content.title,
        f"revision {content.revision}",
        (WoundBoard(content.title, content.bill.boards, order.boards, content.windings),),
    )
    assumptions = workbook_assumptions.assumptions_sheet(
        book.create_sheet(workbook_assumptions.NAME),
        content.title,
        f"revision {content.revision}",
        content.verify,
        content.assumptions,
    )
    return order.sheet, board, windings, assumptions
