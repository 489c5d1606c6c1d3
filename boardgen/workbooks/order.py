"""order.xlsx: an order to each supplier, with what a buyer asks of it, live formulas and their values."""

from __future__ import annotations

from typing import TYPE_CHECKING

from boardgen.purchasing.quotes import reference
from boardgen.workbooks.file import workbook_file
from boardgen.workbooks.order_content import OrderContent

if TYPE_CHECKING:
    from openpyxl import Workbook

    from boardgen.workbooks.sheet import Sheet

BEFORE = ("Summary",)
AFTER = ("Where used", "Suppliers", "Alternates", "Windings", "Assumptions", "Changes")
"""The sheets that stand before and after those of the suppliers."""


def write_order_book(content: OrderContent) -> bytes:
    """The workbook as a file, the same bytes for the same content."""
    title = f"Order for {content.order.title}"
    mark = f"reference {reference(content.order)}"
    return workbook_file(title, mark, lambda book: _sheets(book, content), content.paper)


def _sheets(book: Workbook, content: OrderContent) -> list[Sheet]:
    from boardgen.workbooks import order_supplier as supplier_sheets
    from boardgen.workbooks.assumptions_sheet import assumptions_sheet
    from boardgen.workbooks.order_alternates import alternates_sheet
    from boardgen.workbooks.order_changes import changes_sheet
    from boardgen.workbooks.order_comparison import comparison_sheet
    from boardgen.workbooks.order_doubts import doubts
    from boardgen.workbooks.order_summary import summary_sheet
    from boardgen.workbooks.order_where_used import where_used_sheet
    from boardgen.workbooks.rows import WoundBoard
    from boardgen.workbooks.windings_sheet import windings_sheet

    order, name = content.order, reference(content.order)
    mark = f"reference {name}"
    summary = book.create_sheet(BEFORE[0])
    buys = [
        supplier_sheets.supplier_sheet(book.create_sheet(sheet_name), order, name, supplier, mark)
        for sheet_name, supplier in zip(supplier_sheets.names(order), order.suppliers, strict=True)
    ]
    used, compared, alternates, windings, assumptions, changes = (book.create_sheet(sheet_name) for sheet_name in AFTER)
    where_used = where_used_sheet(used, order, buys, content.from_stock, mark)
    first = summary_sheet(summary, order, name, buys, where_used.short, mark)
    wound = [
        WoundBoard(board.title, board.boards, cell, rows)
        for board, cell, rows in zip(order.boards, first.boards, content.windings, strict=False)
    ]
    return [
        first.sheet,
        *(buy.sheet for buy in buys),
        where_used.sheet,
        comparison_sheet(compared, order, mark),
        alternates_sheet(alternates, order, mark),
        windings_sheet(windings, order.title, mark, wound),
        assumptions_sheet(assumptions, order.title, mark, content.verify, content.assumptions, doubts(order)),
        changes_sheet(changes, content, mark),
    ]
