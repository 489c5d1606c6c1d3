"""A workbook as a file: the same bytes for the same content, with the value of every formula beside it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from datetime import datetime
from typing import TYPE_CHECKING

from boardgen.formats.fixed_zip import fixed_zip, unzipped
from boardgen.formats.harmless import printable
from boardgen.imports import absent
from boardgen.workbooks.cached_values import with_values

if TYPE_CHECKING:
    from openpyxl import Workbook

    from boardgen.workbooks.sheet import Sheet

COMPANIONS = ("numpy", "PIL")
"""What the library looks for and is never handed here; without them it loads in half the time."""
_CREATED = datetime(1980, 1, 1)  # noqa: DTZ001 - a fixed stamp; the library wants it without zone
_PAPERS = {"A4": 9, "Letter": 1}
"""By the numbers of ECMA-376, part 1, page set-up (recalled)."""
_CORE = "docProps/core.xml"
_APPLICATION = "docProps/app.xml"
_MODIFIED = re.compile(rb"<dcterms:modified[^>]*>[^<]*</dcterms:modified>")
_WRITER = re.compile(rb"<Application>[^<]*</Application>|<AppVersion>[^<]*</AppVersion>")


def workbook_file(title: str, subject: str, sheets: Callable[[Workbook], Iterable[Sheet]], paper: str = "A4") -> bytes:
    """The workbook whose sheets that function adds, in this order, to an empty one; `paper` is "A4" or "Letter"."""
    with absent(*COMPANIONS):
        from openpyxl import Workbook

    from boardgen.workbooks.memory import saved
    from boardgen.workbooks.style import BODY

    book = Workbook()
    book.remove(book.worksheets[0])
    # The normal style sets the unit of column widths; there is no public way to it.
    book._named_styles["Normal"].font = BODY  # type: ignore[attr-defined]
    properties = book.properties
    properties.title, properties.subject = printable(title), printable(subject)
    properties.creator, properties.language = "boardgen", "en"
    properties.created = _CREATED
    values = [sheet.formula_values for sheet in sheets(book)]
    for worksheet in book.worksheets:
        worksheet.page_setup.paperSize = _PAPERS[paper]
    files = unzipped(saved(book))
    for number, sheet_values in enumerate(values, 1):
        name = f"xl/worksheets/sheet{number}.xml"
        files[name] = with_values(files[name].decode(), sheet_values).encode()
    files[_CORE] = _MODIFIED.sub(b"", files[_CORE])
    files[_APPLICATION] = _WRITER.sub(b"", files[_APPLICATION])
    return fixed_zip(files)
