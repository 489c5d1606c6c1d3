"""Reads a table of text: a heading row, then one row each, laid out by a Struct.

Columns are separated by commas, semicolons or tabs, as the heading shows; numbers have a decimal point, or a decimal
comma, as all numbers of the table together show. What may be read in two ways is refused, and what is not the usual way
is shown back.

A row that cannot be used is named with its line and left out, and the rest holds; of a strict table, which is used as a
whole or not at all, every fault is an error.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Collection, Mapping, Sequence
from datetime import date
from decimal import Decimal
from functools import lru_cache
from math import isfinite
from typing import Any, Generic, TypeVar

from msgspec import Struct

from boardgen.model.problem import Place, Problem, Severity
from boardgen.tables.column import TableColumn, columns_of
from boardgen.tables.fault import Faults, FieldError, nearest
from boardgen.tables.shown import CONTROL, shown

LEFT_OUT = "The row is left out"
SEPARATORS = {",": "commas", ";": "semicolons", "\t": "tabs"}
_SEPARATOR_LINE = re.compile("sep=([,;\t])")
"""A first line by which some spreadsheets say how columns are separated."""
_DECIMAL = re.compile(r"[0-9]{1,12}(\.[0-9]{1,8})?")
_MARKED = re.compile(r"[+-]?[0-9]+([.,])[0-9]+(?:[eE][+-]?[0-9]+)?")
_GROUPED = re.compile(r"[1-9][0-9]{0,2}[.,][0-9]{3}")
"""What may be a number of thousands as well as one of three decimals."""
_EUROPEAN_DAY = re.compile(r"([0-9]{1,2})\.([0-9]{1,2})\.([0-9]{4})")
_DAY = re.compile("[0-9]{4}-[0-9]{2}-[0-9]{2}")
_Row = TypeVar("_Row", bound=Struct)


class CsvKind(Struct, frozen=True):
    """A kind of table, for its messages. `id` begins the ids of its problems: "price" for "price-row".

    Of a `strict` table the heading must be the columns in their order, less some that may be blank, `id` is the whole
    id, and faults are errors.
    With `comments`, lines that begin with # are notes. `key` is the key under which a user named the file, if any.
    `others` are columns by which a table of another kind is known, each with what to do with that: it is an error.
    """

    id: str
    strict: bool = False
    comments: bool = False
    key: str = ""
    others: Mapping[str, str] = {}


class CsvTable(Generic[_Row]):
    """The rows that could be read, each with its line, and what is wrong so far."""

    def __init__(self, kind: CsvKind, file_name: str, faults: Faults | None = None) -> None:
        self.kind = kind
        self.file_name = file_name
        self.rows: list[tuple[int, _Row]] = []
        self.notes: dict[str, str] = {}
        self.faults = Faults() if faults is None else faults

    def row_fault(
        self, line: int | None, found: str, wanted: str, severity: Severity = "shortfall", hint: str = LEFT_OUT
    ) -> None:
        """Names what is wrong on a line; a strict table has only errors, and leaves nothing out."""
        if self.kind.strict:
            self._fault("", line, found, wanted, "", "error")
        else:
            self._fault("-row", line, found, wanted, hint, severity)

    def table_fault(self, line: int | None, found: str, wanted: str) -> None:
        """Names why nothing can be read from the file."""
        if self.kind.strict:
            self._fault("", line, found, wanted, "", "error")
        else:
            self._fault("-columns", line, found, wanted, "Nothing is read from the file", "shortfall")

    def unknown_column(self, line: int, name: str, allowed: Sequence[str]) -> None:
        """Names a column that is passed over."""
        near = nearest(name, allowed)
        place = Place(self.file_name, line, name)
        hint = f"Did you mean {near}?" if near else ""
        self.faults.add(f"{self.kind.id}-column", place, f"unknown column {name!r}", "it is ignored", hint, "warning")

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What was wrong, in the order of the lines."""
        return self.faults.by_line

    def _fault(self, suffix: str, line: int | None, found: str, wanted: str, hint: str, severity: Severity) -> None:
        place = Place(self.file_name, line, self.kind.key)
        self.faults.add(self.kind.id + suffix, place, found, wanted, hint, severity)


def read_table(
    text: str,
    file_name: str,
    layout: type[_Row],
    kind: CsvKind,
    check: Callable[[_Row], None] | None = None,
    faults: Faults | None = None,
) -> CsvTable[_Row]:
    """The rows of a table.

    Parameters
    ----------
    text
        The content of the file.
    file_name
        For messages.
    layout
        The Struct of a row; its annotations say what may stand in each column.
    kind
        What the messages call the table, and how strict it is.
    check
        Raises FieldError for a row that can be read and still cannot be used.
    faults
        Where faults are gathered; the table's own where none are given.

    """
    table: CsvTable[_Row] = CsvTable(kind, file_name, faults)
    columns = columns_of(layout)
    separator = separator_of(text, [column.name for column in columns])
    lines = _lines(text, separator, table)
    if not lines:
        table.table_fault(1, "the file holds no table", _columns_in_words(columns))
        return table
    first, heading = lines[0]
    if not _check_heading(heading, first, columns, table):
        return table
    places = (heading.index(column.name) if column.name in heading else None for column in columns)
    readers = [(column, _reader(column), place) for column, place in zip(columns, places, strict=True)]
    comma = _has_decimal_commas(lines[1:], readers, separator, table)
    if comma is None:
        return table
    _show_back(first, separator, comma, table)
    for line, cells in lines[1:]:
        if len(cells) != len(heading):
            quoted = "; a number with a decimal comma stands in quotes there" if separator == "," else ""
            table.row_fault(line, f"{len(cells)} fields", f"the heading has {len(heading)}{quoted}")
            continue
        values = {}
        for column, read, place in readers:
            try:
                cell = "" if place is None else cells[place]
                values[column.field] = read(_with_point(cell, column) if comma and column.type in _NUMBERS else cell)
            except FieldError as fault:
                table.row_fault(line, fault.found, fault.wanted)
        if len(values) == len(columns):
            _add(layout(**values), line, check, table)
    return table


def separator_of(text: str, names: Collection[str]) -> str:
    """What separates the columns: by a line that says so, or by which most of these names stand in the heading."""
    lines = (line for line in text.splitlines() if line.strip() and not line.startswith("#"))
    heading = next(lines, "")
    if told := _SEPARATOR_LINE.fullmatch(heading):
        return told[1]
    return max(SEPARATORS, key=lambda each: (len(_names(heading, each) & set(names)), heading.count(each)))


def columns_in(text: str, names: Collection[str]) -> set[str]:
    """Which of these names stand in the heading of a table."""
    separator = separator_of(text, names)
    lines = (line for line in text.splitlines() if line.strip() and not line.startswith("#"))
    heading = next((line for line in lines if not _SEPARATOR_LINE.fullmatch(line)), "")
    return _names(heading, separator) & set(names)


def _names(heading: str, separator: str) -> set[str]:
    return {name.strip().strip('"').strip() for name in heading.split(separator)}


def _has_decimal_commas(
    lines: Sequence[tuple[int, list[str]]],
    readers: Sequence[tuple[TableColumn, Callable[[str], Any], int | None]],
    separator: str,
    table: CsvTable[Any],
) -> bool | None:
    """Whether numbers have a decimal comma; None, and a fault of the table, where they can be read in two ways.

    "1,234" alone may be a number of thousands; "2,95" beside it, or 0,125, is not.
    """
    places = [place for column, _, place in readers if place is not None and column.type in _NUMBERS]
    found: dict[str, tuple[int, str]] = {}
    unclear: dict[str, tuple[int, str]] = {}
    for line, cells in lines:
        for cell in (cells[place] for place in places if place < len(cells)):
            if mark := _MARKED.fullmatch(cell):
                (unclear if _GROUPED.fullmatch(cell) else found).setdefault(mark[1], (line, cell))
    if len(found) == 2 and separator == ",":
        # numbers in quotes that are not like the others are named row by row
        return False
    if len(found) == 2:
        (_, point), (line, comma) = found["."], found[","]
        table.table_fault(line, f"numbers with a decimal comma and with a point: {comma} and {point}", "one for all")
        return None
    doubtful = "," in unclear or ("." in unclear and separator != ",")
    if not found and doubtful:
        line, cell = unclear.get(",") or unclear["."]
        whole = cell.replace(",", "").replace(".", "")
        wanted = f"write it as {whole}, or with another number of decimals, such as {cell}0"
        table.table_fault(line, f"{cell} may be {cell.replace(',', '.')} or {whole}", wanted)
        return None
    return "," in found


def _with_point(cell: str, column: TableColumn) -> str:
    """The number with a decimal point. Raises FieldError for one that has a point already."""
    if "." in cell:
        wanted = "digits with a decimal comma, as in the rest of the table, and nothing between thousands"
        raise FieldError(found=f"{column.name} {cell!r} has a point", wanted=wanted)
    return cell.replace(",", ".")


def _show_back(line: int, separator: str, comma: bool, table: CsvTable[Any]) -> None:
    """Says how the table was read, where that is not the usual way."""
    if table.kind.strict or (separator == "," and not comma):
        return
    number = "a decimal comma" if comma else "a decimal point"
    found = f"read as columns separated by {SEPARATORS[separator]}, numbers with {number}"
    table.faults.add(f"{table.kind.id}-read", Place(table.file_name, line), found, severity="note")


def _add(row: _Row, line: int, check: Callable[[_Row], None] | None, table: CsvTable[_Row]) -> None:
    try:
        if check:
            check(row)
    except FieldError as fault:
        table.row_fault(line, fault.found, fault.wanted)
    else:
        table.rows.append((line, row))


def _lines(text: str, separator: str, table: CsvTable[Any]) -> list[tuple[int, list[str]]]:
    """The rows with the line each begins on, blank ones left out, and notes taken.

    Blank cells beyond the heading are what spreadsheets leave, and are cut off.
    """
    if table.kind.comments:
        lines = text.splitlines()
        notes = (line[1:].strip().partition(": ") for line in lines if line.startswith("#"))
        table.notes = {key: note for key, _, note in notes}
        text = "\n".join("" if line.startswith("#") else line for line in lines)
    reader = csv.reader(io.StringIO(text, newline=""), strict=True, delimiter=separator)
    rows: list[tuple[int, list[str]]] = []
    width = 0
    line = 1
    try:
        for cells in reader:
            stripped = [cell.strip() for cell in cells]
            if any(stripped) and not _SEPARATOR_LINE.fullmatch(separator.join(cells)):
                while stripped and not stripped[-1] and (not rows or len(stripped) > width):
                    stripped.pop()
                width = width if rows else len(stripped)
                rows.append((line, stripped))
            line = reader.line_num + 1
    except csv.Error as error:
        table.row_fault(
            line, f"not a row of a table: {error}", "closed quotes", hint="It is left out with all that follows"
        )
    return rows


def _check_heading(heading: list[str], line: int, columns: Sequence[TableColumn], table: CsvTable[Any]) -> bool:
    """Whether the rows can be read under this heading; what is wrong with it becomes a fault."""
    names = [column.name for column in columns]
    wanted = _columns_in_words(columns)
    for name, what in table.kind.others.items():
        if name in heading and name not in names:
            table.faults.add(f"{table.kind.id}-columns", Place(table.file_name, line), what, wanted)
            return False
    if table.kind.strict:
        exact = heading == [column.name for column in columns if column.needed or column.name in heading]
        if not exact:
            table.table_fault(line, f"the heading is {','.join(heading)}", wanted)
        return exact
    for name in heading:
        if name not in names:
            table.unknown_column(line, name, names)
    missing = [column.name for column in columns if column.needed and column.name not in heading]
    twice = sorted({name for name in heading if heading.count(name) > 1})
    for name in twice:
        table.table_fault(line, f"the column {name!r} stands there twice", wanted)
    if missing:
        table.table_fault(line, f"no column {', '.join(missing)}", wanted)
    return not missing and not twice


def _columns_in_words(columns: Sequence[TableColumn]) -> str:
    return f"columns: {', '.join(column.name for column in columns)}"


@lru_cache
def _reader(column: TableColumn) -> Callable[[str], Any]:
    """The value of a cell. Raises FieldError."""
    read = _BY_TYPE[column.type]

    def value(text: str) -> Any:
        if text:
            return read(column, text)
        if column.needed:
            raise FieldError(found=f"{column.name} is blank", wanted="every row needs it")
        return column.default

    # many rows share the day, the currency and round numbers
    return lru_cache(4096)(value)


def _words(column: TableColumn, text: str) -> str:
    if CONTROL.search(text.replace("\n", " ")):
        wanted = "letters that can be printed"
        raise FieldError(found=f"{column.name} {shown(text)} holds control characters", wanted=wanted)
    if column.pattern and not re.fullmatch(column.pattern, text):
        raise FieldError(found=f"{column.name} {text!r} is not {column.noun}", wanted=column.wanted)
    return text


def _decimal(column: TableColumn, text: str) -> Decimal:
    """A number from 0, of at most 12 digits and 8 decimals."""
    if text.startswith("-"):
        raise FieldError(found=f"{column.name} {text!r} is negative", wanted="a number from 0")
    if not _DECIMAL.fullmatch(text):
        wanted = "digits with a decimal point, such as 2.95"
        raise FieldError(found=f"{column.name} {text!r} is not a number", wanted=wanted)
    number = Decimal(text)
    column.within(number, format(number.normalize(), "f"))
    return number


def _whole(column: TableColumn, text: str) -> int:
    number = _decimal(column, text)
    if number != int(number):
        raise FieldError(found=f"{column.name} {text!r} is not a whole number", wanted=f"{column.unit}, such as 5")
    return int(number)


def _real(column: TableColumn, text: str) -> float:
    """A finite number, also with an exponent."""
    try:
        number = float(text)
    except ValueError:
        number = float("nan")
    if not isfinite(number):
        raise FieldError(found=f"{column.name} {text!r} is not a number", wanted="a number such as 1.8e6")
    column.within(number, text)
    return number


def _day(column: TableColumn, text: str) -> date:
    """A day written year-month-day, or day.month.year."""
    try:
        if _DAY.fullmatch(text):
            return date.fromisoformat(text)
        if european := _EUROPEAN_DAY.fullmatch(text):
            day, month, year = map(int, european.groups())
            return date(year, month, day)
    except ValueError:
        pass
    raise FieldError(found=f"{column.name} {text!r} is not a day", wanted="year-month-day, such as 2026-11-01")


_NUMBERS = (Decimal, int, float)
_BY_TYPE: Mapping[Any, Callable[[TableColumn, str], Any]] = {
    str: _words,
    Decimal: _decimal,
    int: _whole,
    float: _real,
    date: _day,
}
