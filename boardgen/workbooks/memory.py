"""Saves a workbook in memory.

The library writes each sheet into a temporary file first, and where that fails it complains on standard error and may
leave the file behind.
"""

from __future__ import annotations

import io
from typing import Any
from zipfile import ZIP_STORED, ZipFile

from openpyxl import Workbook
from openpyxl.drawing.spreadsheet_drawing import SpreadsheetDrawing
from openpyxl.worksheet._writer import WorksheetWriter
from openpyxl.writer.excel import ExcelWriter


def saved(book: Workbook) -> bytes:
    """The workbook as a file, not compressed."""
    stream = io.BytesIO()
    with ZipFile(stream, "w", ZIP_STORED) as archive:
        _InMemory(book, archive).write_data()
    return stream.getvalue()


class _InMemory(ExcelWriter):
    def write_worksheet(self, ws: Any) -> None:
        ws._drawing = SpreadsheetDrawing()
        sheet = io.BytesIO()
        writer = WorksheetWriter(ws, sheet)
        writer.write()
        ws._rels = writer._rels  # type: ignore[attr-defined]
        self._archive.writestr(ws.path[1:], sheet.getvalue())  # type: ignore[attr-defined]
        self.manifest.append(ws)
