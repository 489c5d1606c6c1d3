"""Reads a spreadsheet in the OpenDocument form: the values of its cells, and their formulas.

OASIS OpenDocument 1.2, part 1, chapter 9 (tables) and 19.385 (value types); of formulas the text of part 2 with plain
references, [.A1] written as A1.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterator
from datetime import datetime
from typing import TypeAlias
from xml.etree import ElementTree as Xml

from msgspec import Struct

MIME_TYPE = b"application/vnd.oasis.opendocument.spreadsheet"
MOST_ROWS, MOST_COLUMNS = 200_000, 1024
"""More cells that hold anything are refused; blank ones are counted and not made."""
MOST_BYTES = 64 * 1024 * 1024
_OFFICE = "{urn:oasis:names:tc:opendocument:xmlns:office:1.0}"
_TABLE = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"
_TEXT = "{urn:oasis:names:tc:opendocument:xmlns:text:1.0}"
_REFERENCE = re.compile(r"\[\.(\$?[A-Z]+\$?[0-9]+)\]")
Value: TypeAlias = "str | int | float | bool | datetime | None"


class OdsCell(Struct, frozen=True):
    """What a cell shows, and its formula with the equals sign, "" where it has none."""

    value: Value = None
    formula: str = ""


class OdsSheet(Struct, frozen=True):
    """A sheet by its name; rows without the blank cells at their end."""

    name: str
    rows: tuple[tuple[OdsCell, ...], ...]


def is_ods(content: bytes) -> bool:
    """Whether a file is a spreadsheet in this form."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            return archive.read("mimetype").startswith(MIME_TYPE)
    except (zipfile.BadZipFile, KeyError, OSError, RuntimeError, NotImplementedError):
        return False


def read_ods(content: bytes) -> tuple[OdsSheet, ...]:
    """Every sheet, in order. Raises ValueError where the file is damaged or holds too much."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            if archive.getinfo("content.xml").file_size > MOST_BYTES:
                raise ValueError("it unpacks to too much")
            root = Xml.fromstring(archive.read("content.xml"))  # noqa: S314 - expat stops entities that grow
    except (zipfile.BadZipFile, KeyError, OSError, RuntimeError, NotImplementedError, Xml.ParseError) as error:
        raise ValueError("it cannot be read as a spreadsheet") from error
    return tuple(_sheet(table) for table in root.iter(f"{_TABLE}table"))


def _sheet(table: Xml.Element) -> OdsSheet:
    rows: list[tuple[OdsCell, ...]] = []
    blank = 0
    for element in table.iter(f"{_TABLE}table-row"):
        cells, times = _row(element), _repeated(element, "rows")
        if not cells:
            blank += times
            continue
        if len(rows) + blank + times > MOST_ROWS:
            raise ValueError("a sheet has too many rows")
        rows += [()] * blank + [cells] * times
        blank = 0
    return OdsSheet(table.get(f"{_TABLE}name", ""), tuple(rows))


def _row(element: Xml.Element) -> tuple[OdsCell, ...]:
    cells: list[OdsCell] = []
    blank = 0
    for child in element:
        if child.tag not in (f"{_TABLE}table-cell", f"{_TABLE}covered-table-cell"):
            continue
        cell, times = _cell(child), _repeated(child, "columns")
        if cell == OdsCell():
            blank += times
            continue
        if len(cells) + blank + times > MOST_COLUMNS:
            raise ValueError("a row has too many cells")
        cells += [OdsCell()] * blank + [cell] * times
        blank = 0
    return tuple(cells)


def _repeated(element: Xml.Element, what: str) -> int:
    return max(1, int(element.get(f"{_TABLE}number-{what}-repeated", "1")))


def _cell(element: Xml.Element) -> OdsCell:
    formula = element.get(f"{_TABLE}formula", "")
    if formula:
        formula = _REFERENCE.sub(r"\1", formula[formula.index("=") :] if "=" in formula else "")
    return OdsCell(_value(element), formula)


def _value(element: Xml.Element) -> Value:
    match element.get(f"{_OFFICE}value-type", ""):
        case "float" | "percentage" | "currency":
            number = float(element.get(f"{_OFFICE}value", ""))
            return int(number) if number.is_integer() and abs(number) < 1e15 else number
        case "boolean":
            return element.get(f"{_OFFICE}boolean-value") == "true"
        case "date":
            return datetime.fromisoformat(element.get(f"{_OFFICE}date-value", ""))
        case "string":
            return "\n".join("".join(_words(line)) for line in element.findall(f"{_TEXT}p")) or None
    return None


def _words(line: Xml.Element) -> Iterator[str]:
    """The text of a paragraph, whose repeated spaces, tabs and ends of lines are elements."""
    yield line.text or ""
    for child in line:
        match child.tag.removeprefix(_TEXT):
            case "s":
                yield " " * int(child.get(f"{_TEXT}c", "1"))
            case "tab":
                yield "\t"
            case "line-break":
                yield "\n"
            case _:
                yield from _words(child)
        yield child.tail or ""
