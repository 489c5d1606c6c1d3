"""Opens a workbook that somebody gives, whatever it may be, and reads its entries: a value, or why it cannot be one."""

from __future__ import annotations

import io
import re
import warnings
import zipfile
from collections.abc import Sequence
from decimal import Decimal
from typing import cast

from openpyxl import Workbook, load_workbook
from openpyxl.cell import Cell
from openpyxl.utils import range_boundaries
from openpyxl.worksheet.worksheet import Worksheet

from boardgen.formats.read_ods import OdsSheet, is_ods, read_ods
from boardgen.model.problem import InputError, Place, Problem
from boardgen.tables.fault import FieldError
from boardgen.workbooks.cells import Entry
from boardgen.workbooks.order_supplier import PREFIX

MOST_BYTES = 64 * 1024 * 1024
"""A workbook that unpacks to more is refused."""
MOST_MERGED = 100_000
"""More merged cells are refused, however small the file that says so."""
_MERGED = re.compile(rb"""mergeCell\b[^>]*?\bref\s*=\s*["']([A-Z0-9:$]{1,40})["']""")
MOST = 10**9
MOST_DECIMALS = 8
"""As in a price file."""
_SHOWN = 60
"""Letters of a wrong entry that are shown."""
_CONTROL = re.compile(r"[\x00-\x1f\x7f]")


def opened(data: bytes, file: str) -> Workbook:
    """The workbook with its formulas. Raises InputError where it is none, or unpacks to very much."""
    if is_ods(data):
        try:
            return _of_ods(read_ods(data))
        except Exception as error:
            # a damaged file raises whatever its reader stumbles over
            hint = "Save it again, or as .xlsx, the format it came in"
            raise workbook_problem(file, "", "it cannot be read as a workbook", hint) from error
    merged = 0
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
        size = sum(entry.file_size for entry in archive.infolist())
        merged = _merged_cells(archive) if size <= MOST_BYTES else 0
        if size <= MOST_BYTES and merged <= MOST_MERGED:
            with warnings.catch_warnings():
                # The library says what of a workbook it does not keep; nothing of it is written back.
                warnings.simplefilter("ignore")
                return load_workbook(io.BytesIO(data), keep_links=False)
    except Exception as error:
        # A damaged file raises whatever its reader stumbles over.
        hint = "Save it as .xlsx, the format it came in"
        raise workbook_problem(file, "", "it cannot be read as a workbook", hint) from error
    if merged > MOST_MERGED:
        hint = f"At most {MOST_MERGED:,} are read: take the merging off"
        raise workbook_problem(file, "", f"it has {merged:,} cells that are merged", hint)
    raise workbook_problem(file, "", f"it unpacks to {size:,} bytes", f"At most {MOST_BYTES:,} are read")


def _of_ods(sheets: Sequence[OdsSheet]) -> Workbook:
    """A spreadsheet of the other form as this library has one."""
    book = Workbook()
    book.remove(book.worksheets[0])
    for sheet in sheets:
        made = book.create_sheet(sheet.name)
        for row, cells in enumerate(sheet.rows, 1):
            for column, cell in enumerate(cells, 1):
                if cell.formula or cell.value is not None:
                    there = made.cell(row, column, cell.formula or cell.value)
                    # a text that begins like a formula stays one
                    there.data_type = "s" if isinstance(cell.value, str) and not cell.formula else there.data_type
    return book


def _merged_cells(archive: zipfile.ZipFile) -> int:
    """How many cells all merged ranges cover: the library makes an object of each."""
    found = 0
    for name in archive.namelist():
        if "worksheets/" in name and name.endswith(".xml"):
            text = archive.read(name)
            # each letter of UTF-16 that matters here is a byte and a zero
            for range_text in _MERGED.findall(text.replace(b"\0", b"")):
                left, top, right, bottom = range_boundaries(range_text.decode("ascii"))
                found += ((right or 0) - (left or 0) + 1) * ((bottom or 0) - (top or 0) + 1)
    return found


def supplier_sheets_of(book: Workbook, file: str, wanted: str) -> list[Worksheet]:
    """The sheets of suppliers. Raises InputError where there is none; `wanted` says which workbook to give."""
    sheets = [cast(Worksheet, sheet) for sheet in book.worksheets if sheet.title.startswith(PREFIX)]
    if not sheets:
        raise no_order(file, wanted)
    return sheets


def no_order(file: str, wanted: str) -> InputError:
    """The workbook is not that of an order."""
    return workbook_problem(file, "", "it is not a workbook that an order was written to", wanted)


def workbook_problem(file: str, cell: str, found: str, hint: str) -> InputError:
    """The whole workbook cannot be used."""
    return InputError([Problem("quote-workbook", "error", Place(file, key=cell), found, "", hint)])


def number_of(cell: Cell, entry: Entry, decimals: int, *, needed: bool = True) -> Decimal | None:
    """The number that was entered; None for a blank that is not `needed`. Raises FieldError."""
    least = entry.least or Decimal()
    wanted = f"{entry.name.lower()}: a {'whole ' if entry.whole else ''}number, {least:f} or more"
    if cell.value is None:
        if needed:
            raise FieldError(found="it is blank", wanted=wanted)
        return None
    if cell.data_type != "n" or isinstance(cell.value, bool) or not isinstance(cell.value, int | float):
        raise FieldError(found=_said(cell), wanted=wanted)
    number = Decimal(repr(cell.value))
    if number < least:
        raise FieldError(found="it is negative" if number < 0 else f"it is {number:f}", wanted=wanted)
    if number >= MOST:
        raise FieldError(found=f"it is {number:f}", wanted=f"{entry.name.lower()}: less than {MOST:,}")
    if round(number, decimals) != number:
        allowed = f", at most {decimals} decimals" if decimals else ""
        raise FieldError(found=f"it is {number:f}", wanted=f"{wanted}{allowed}")
    return round(number, decimals)


def text_of(cell: Cell, entry: Entry, *, needed: bool = True) -> str:
    """The text that was entered, or a whole number as its digits; "" for a blank that is not `needed`.

    Raises FieldError.
    """
    wanted = f"{entry.name.lower()}: up to {entry.longest} letters and digits"
    if cell.value is None or (isinstance(cell.value, str) and not cell.value.strip()):
        if not needed:
            return ""
        raise FieldError(found="it is blank", wanted=wanted)
    whole = cell.data_type == "n" and isinstance(cell.value, int) and not isinstance(cell.value, bool)
    if cell.data_type != "s" and not whole:
        raise FieldError(found=_said(cell), wanted=wanted)
    text = str(cell.value).strip()
    if len(text) > entry.longest or _CONTROL.search(text):
        raise FieldError(found=f"it is {text[:_SHOWN]!r}", wanted=wanted)
    return text


def _said(cell: Cell) -> str:
    kinds = {"f": "a formula", "s": "text", "b": "yes or no", "e": "an error", "d": "a day"}
    kind = kinds.get(cell.data_type, "something else")
    if cell.data_type == "n":
        return f"it is {cell.value}"
    shown = getattr(cell.value, "text", cell.value)
    return f"it holds {kind}, {str(shown)[:_SHOWN]!r}"
