"""bill.xlsx: the order, the board, the windings and the assumptions, with live formulas and their values."""

from __future__ import annotations

import re
from datetime import datetime
from decimal import Decimal
from typing import TYPE_CHECKING

from boardgen.files.cached_values import with_values
from boardgen.files.fixed_zip import fixed_zip, unzipped
from boardgen.files.harmless import printable
from boardgen.files.workbook_rows import WorkbookContent
from boardgen.imports import absent

if TYPE_CHECKING:
    from openpyxl import Workbook

COMPANIONS = ("numpy", "PIL")
"""What the library looks for and is never handed here; without them it loads in half the time."""
_CREATED = datetime(1980, 1, 1)  # noqa: DTZ001 - a fixed stamp; the library wants it without zone
_CORE = "docProps/core.xml"
_APPLICATION = "docProps/app.xml"
_MODIFIED = re.compile(rb"<dcterms:modified[^>]*>[^<]*</dcterms:modified>")
_WRITER = re.compile(rb"<Application>[^<]*</Application>|<AppVersion>[^<]*</AppVersion>")


def write_workbook(content: WorkbookContent) -> bytes:
    """The workbook as a file, the same bytes for the same content."""
    book, values = _book(content)
    from boardgen.files.workbook_memory import saved

    files = unzipped(saved(book))
    for number, sheet_values in enumerate(values, 1):
        name = f"xl/worksheets/sheet{number}.xml"
        files[name] = with_values(files[name].decode(), sheet_values).encode()
    files[_CORE] = _MODIFIED.sub(b"", files[_CORE])
    files[_APPLICATION] = _WRITER.sub(b"", files[_APPLICATION])
    return fixed_zip(files)


def _book(content: WorkbookContent) -> tuple[Workbook, list[dict[str, Decimal | None]]]:
    """The workbook and, sheet by sheet, the value of each formula cell."""
    with absent(*COMPANIONS):
        from openpyxl import Workbook

    from boardgen.files import workbook_assumptions, workbook_board, workbook_order, workbook_style, workbook_windings

    book = Workbook()
    book.remove(book.worksheets[0])
    # The normal style sets the unit of column widths; there is no public way to it.
    book._named_styles["Normal"].font = workbook_style.BODY  # type: ignore[attr-defined]
    book.properties.title = printable(content.title)
    book.properties.creator = "boardgen"
    book.properties.created = _CREATED
    order = workbook_order.order_sheet(
        book.create_sheet(workbook_order.NAME), content, workbook_board.value_cell(content.bill)
    )
    sheets = (
        order.sheet,
        workbook_board.board_sheet(book.create_sheet(workbook_board.NAME), content, order.first_row, order.boards),
        workbook_windings.windings_sheet(book.create_sheet(workbook_windings.NAME), content),
        workbook_assumptions.assumptions_sheet(book.create_sheet(workbook_assumptions.NAME), content),
    )
    return book, [sheet.formula_values for sheet in sheets]
