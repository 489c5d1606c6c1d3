"""Reads the tables that a user names, as people have them: text in several encodings, or a workbook (.xlsx, .ods).

Of each comes its name and comma- or otherwise separated text; what the marks in it mean is told by
`boardgen.tables.csv_table`. A quotation (`boardgen.purchasing.quotation`) stands for a table of prices and one of
terms, any other workbook for its first sheet that holds anything, written as comma-separated text with a decimal point,
a line a row, so that lines are the rows of the sheet.
"""

from __future__ import annotations

import csv
import io
import re
import warnings
import zipfile
from collections.abc import Iterator, Sequence
from datetime import date, datetime
from decimal import Decimal
from itertools import islice
from pathlib import Path
from typing import Any

from boardgen.formats.read_ods import is_ods, read_ods
from boardgen.model.problem import InputError, Place, Problem
from boardgen.purchasing.quotation import QuotationError, quotation_tables
from boardgen.tables.text_file import read_plain_file

PATTERNS = ("*.csv", "*.tsv", "*.xlsx", "*.ods")
"""What a folder of tables is read for."""
MOST_MIB = 64
"""A workbook that unpacks to more is refused."""
MOST_ROWS, MOST_COLUMNS = 200_000, 200
_WANTED = "wanted is a table as text in UTF-8, or as a workbook .xlsx or .ods"
_DECLARED = re.compile(rb"(?:\xef\xbb\xbf)?#[ \t]*encoding:[ \t]*([A-Za-z0-9._-]{1,40})[^\r\n]*")
_ENCODINGS = {"utf-8": "utf-8", "latin-1": "latin-1", "iso-8859-1": "latin-1", "windows-1252": "cp1252"}
_MARKS = {b"\xef\xbb\xbf": "utf-8-sig", b"\xff\xfe": "utf-16", b"\xfe\xff": "utf-16"}


class _TableError(ValueError):
    """Why a file holds no table that can be read, with the line where that is known, and what to do."""

    def __init__(self, found: str, hint: str = "", line: int | None = None, wanted: str = _WANTED) -> None:
        self.found, self.hint, self.line, self.wanted = found, hint, line, wanted
        super().__init__(found)


def read_tables(paths: Sequence[Path]) -> tuple[tuple[str, str], ...]:
    """Name and text of each file with a table; a folder stands for the files in it that PATTERNS name.

    Raises InputError naming every file that cannot be read, and every folder without such files.
    """
    faults: list[Problem] = []
    texts: list[tuple[str, str]] = []
    for path in paths:
        try:
            files = table_files(path)
        except OSError as error:
            faults.append(_fault(path, _TableError(f"the table cannot be read: {error.strerror}")))
            continue
        for file in files:
            try:
                texts += _read(file)
            except OSError as error:
                faults.append(_fault(file, _TableError(f"the table cannot be read: {error.strerror}")))
            except _TableError as fault:
                faults.append(_fault(file, fault))
    if faults:
        raise InputError(faults)
    return tuple(texts)


def table_files(path: Path) -> Sequence[Path]:
    """The file itself, or those of a folder by name. Raises OSError for a folder without tables."""
    if not path.is_dir():
        return [path]
    found = {file for pattern in PATTERNS for file in path.glob(pattern) if not file.name.startswith((".", "~$"))}
    if not found:
        raise FileNotFoundError(2, f"no {', '.join(PATTERNS)} in the folder", str(path))
    return sorted(found)


def _read(path: Path) -> list[tuple[str, str]]:
    """Name and text of each table in the file: one, but two of a quotation with terms."""
    try:
        content = read_plain_file(path)
    except ValueError as error:
        found = "the name of the table cannot be used"
        raise _TableError(found) from error
    if content.startswith(b"PK\x03\x04"):
        sheet, texts = _workbook_texts(content)
        return [(f"{path}, sheet {sheet}", text) for text in texts]
    if content.startswith(b"\xd0\xcf\x11\xe0"):
        found = "this is a workbook of the old form"
        raise _TableError(found, "Save it as .xlsx or as CSV")
    return [(str(path), decoded(content))]


def decoded(content: bytes) -> str:
    """The text: UTF-8 or UTF-16 by its mark, what a first line "# encoding: latin-1" declares, else UTF-8.

    That line becomes a blank one. Raises ValueError with what is wrong and what to do.
    """
    mark = next((name for start, name in _MARKS.items() if content.startswith(start)), None)
    declared = _DECLARED.match(content)
    name = declared[1].decode().lower() if declared else ""
    if name and name not in _ENCODINGS:
        found = f'the encoding "{name}" is unknown'
        raise _TableError(found, f"Known are {', '.join(_ENCODINGS)}", 1)
    encoding = _ENCODINGS[name] if name else mark or "utf-8"
    try:
        text = content[declared.end() if declared else 0 :].decode(encoding)
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        found = f"the table is not {encoding.removesuffix('-sig').upper()} text (byte {error.start})"
        hint = 'Save it as "CSV UTF-8", or write "# encoding: latin-1" as its first line'
        raise _TableError(found, hint, line) from error
    if "\0" in text:
        found = "the table holds NUL characters, as UTF-16 without its mark does"
        raise _TableError(found, 'Save it as "CSV UTF-8"')
    return text


def _workbook_texts(content: bytes) -> tuple[str, tuple[str, ...]]:
    """Name of the first sheet that holds anything, and the texts of the tables in it."""
    try:
        formulas = not is_ods(content) and _has_formulas(content)
        name, rows = next(((name, rows) for name, rows in _sheets(content, calculated=True) if any(rows)), ("", []))
        if formulas:
            shown = next((rows for other, rows in _sheets(content, calculated=False) if other == name), [])
            _check_calculated(name, rows, shown)
    except _TableError:
        raise
    except Exception as error:
        # a damaged file raises whatever its reader stumbles over
        found = "the file cannot be read as a workbook"
        raise _TableError(found, "Save it as .xlsx again, or as CSV") from error
    texts = [[_cell_text(value) for value in row] for row in rows]
    try:
        return name, quotation_tables(texts) or (_csv_text(texts),)
    except QuotationError as error:
        raise _TableError(error.found, error.hint, error.line, "") from error


def _csv_text(rows: Sequence[Sequence[str]]) -> str:
    """The rows as comma-separated text, a line a row."""
    width = max((len(row) for row in rows), default=0)
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    for row in rows:
        if row:
            writer.writerow([*row, *[""] * (width - len(row))])
        else:
            out.write("\n")
    return out.getvalue()


def _has_formulas(content: bytes) -> bool:
    """Whether a cell may hold one. Raises _TableError for a workbook that unpacks to very much."""
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        size = sum(entry.file_size for entry in archive.infolist())
        if size > MOST_MIB * 1024 * 1024:
            found = f"the workbook unpacks to {size:,} bytes"
            raise _TableError(found, f"At most {MOST_MIB} MiB are read")
        return any(b"<f" in archive.read(name) for name in archive.namelist() if "worksheets/" in name)


def _sheets(content: bytes, *, calculated: bool) -> Iterator[tuple[str, list[list[Any]]]]:
    """Name and rows of each sheet, without the blank cells at the end of a row: values, or formulas as they stand."""
    if is_ods(content):
        yield from (
            (sheet.name, [_trimmed([cell.value for cell in row]) for row in sheet.rows]) for sheet in read_ods(content)
        )
        return
    # only a workbook needs it, and it takes a fifth of a second
    from openpyxl import load_workbook

    with warnings.catch_warnings():
        # the library says what of a workbook it does not keep; nothing of it is written back
        warnings.simplefilter("ignore")
        book = load_workbook(io.BytesIO(content), read_only=True, data_only=calculated, keep_links=False)
        for sheet in book.worksheets:
            # what a file says of its own size is not to be trusted
            sheet.reset_dimensions()
            rows = [_trimmed(row) for row in islice(sheet.iter_rows(values_only=True), MOST_ROWS + 1)]
            if len(rows) > MOST_ROWS:
                found = f"sheet {sheet.title} has more than {MOST_ROWS:,} rows"
                raise _TableError(found, "Split the table")
            yield sheet.title, rows
        book.close()


def _trimmed(row: Sequence[Any]) -> list[Any]:
    cells = list(row)
    while cells and (cells[-1] is None or cells[-1] == ""):
        cells.pop()
    if len(cells) > MOST_COLUMNS:
        found = f"a row of the workbook has more than {MOST_COLUMNS} columns"
        raise _TableError(found, "Clear what stands beside the table")
    return cells


def _check_calculated(name: str, values: Sequence[Sequence[Any]], formulas: Sequence[Sequence[Any]]) -> None:
    """Raises _TableError where a formula has no value yet: it would be read as a blank."""
    for line, row in enumerate(formulas, 1):
        for at, cell in enumerate(row):
            known = line <= len(values) and at < len(values[line - 1]) and values[line - 1][at] is not None
            if isinstance(cell, str) and cell.startswith("=") and not known:
                found = f"row {line} of sheet {name} has a formula that was never calculated"
                raise _TableError(found, "Open the workbook in a spreadsheet and save it", line)


def _cell_text(value: Any) -> str:
    """The value as it stands in a table of ours: a decimal point, days as year-month-day."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int | float):
        # a spreadsheet shows 15 digits, and what a formula leaves behind them is no figure
        number = Decimal(format(value, ".15g"))
        return format(number.normalize() if number else Decimal(0), "f")
    if isinstance(value, datetime):
        return value.date().isoformat() if value.time() == value.min.time() else value.isoformat(" ")
    if isinstance(value, date):
        return value.isoformat()
    return " ".join(str(value).split())


def _fault(path: Path, fault: _TableError) -> Problem:
    place = Place(str(path), fault.line)
    return Problem("price-file", "error", place, fault.found, fault.wanted, fault.hint)
