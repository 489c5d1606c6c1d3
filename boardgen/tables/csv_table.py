"""Reads a comma-separated table: a heading row, then one row each, laid out by a Struct.

A row that cannot be used is named with its line and left out, and the rest holds; of a strict table, which is used as a
whole or not at all, every fault is an error.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from functools import lru_cache
from math import isfinite
from typing import Any, Generic, TypeVar

from msgspec import Struct

from boardgen.model.problem import Place, Problem, Severity
from boardgen.tables.column import TableColumn, columns_of
from boardgen.tables.fault import Faults, FieldError, nearest

LEFT_OUT = "The row is left out"
_DECIMAL = re.compile(r"[0-9]{1,12}(\.[0-9]{1,8})?")
_DAY = re.compile("[0-9]{4}-[0-9]{2}-[0-9]{2}")
_Row = TypeVar("_Row", bound=Struct)


class CsvKind(Struct, frozen=True):
    """A kind of table, for its messages. `id` begins the ids of its problems: "price" for "price-row".

    Of a `strict` table the heading must be the columns in their order, `id` is the whole id, and faults are errors.
    With `comments`, lines that begin with # are notes. `key` is the key under which a user named the file, if any.
    """

    id: str
    strict: bool = False
    comments: bool = False
    key: str = ""


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
    lines = _lines(text, table)
    if not lines:
        table.table_fault(1, "the file holds no table", _columns_in_words(columns))
        return table
    first, heading = lines[0]
    if not _check_heading(heading, first, columns, table):
        return table
    places = (heading.index(column.name) if column.name in heading else None for column in columns)
    readers = [(column, _reader(column), place) for column, place in zip(columns, places, strict=True)]
    for line, cells in lines[1:]:
        if len(cells) != len(heading):
            table.row_fault(line, f"{len(cells)} fields", f"the heading has {len(heading)}")
            continue
        values = {}
        for column, read, place in readers:
            try:
                values[column.field] = read("" if place is None else cells[place])
            except FieldError as fault:
                table.row_fault(line, fault.found, fault.wanted)
        if len(values) == len(columns):
            _add(layout(**values), line, check, table)
    return table


def _add(row: _Row, line: int, check: Callable[[_Row], None] | None, table: CsvTable[_Row]) -> None:
    try:
        if check:
            check(row)
    except FieldError as fault:
        table.row_fault(line, fault.found, fault.wanted)
    else:
        table.rows.append((line, row))


def _lines(text: str, table: CsvTable[Any]) -> list[tuple[int, list[str]]]:
    """The rows with the line each begins on, blank ones left out, and notes taken."""
    if table.kind.comments:
        lines = text.splitlines()
        notes = (line[1:].strip().partition(": ") for line in lines if line.startswith("#"))
        table.notes = {key: note for key, _, note in notes}
        text = "\n".join("" if line.startswith("#") else line for line in lines)
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    rows = []
    line = 1
    try:
        for cells in reader:
            stripped = [cell.strip() for cell in cells]
            if any(stripped):
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
    if table.kind.strict:
        if heading != names:
            table.table_fault(line, f"the heading is {','.join(heading)}", wanted)
        return heading == names
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
    return f"comma-separated columns: {', '.join(column.name for column in columns)}"


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
    """A day written year-month-day."""
    try:
        if _DAY.fullmatch(text):
            return date.fromisoformat(text)
    except ValueError:
        pass
    raise FieldError(found=f"{column.name} {text!r} is not a day", wanted="year-month-day, such as 2026-11-01")


_BY_TYPE: Mapping[Any, Callable[[TableColumn, str], Any]] = {
    str: _words,
    Decimal: _decimal,
    int: _whole,
    float: _real,
    date: _day,
}
