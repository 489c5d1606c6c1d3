"""A table of text: comma-separated, with a heading row. A row that cannot be used is named, and the rest holds."""

from __future__ import annotations

import csv
import difflib
import io
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cached_property
from typing import TypeVar

from msgspec import Struct, field

from boardgen.model.problem import Place, Problem, Severity
from boardgen.purchasing.fields import FieldError

LEFT_OUT = "The row is left out"
_Row = TypeVar("_Row")


class Table(Struct, dict=True):
    """One file being read: its rows, and what is wrong so far. `name` begins the ids of its problems: "price"."""

    name: str
    file_name: str
    columns: tuple[str, ...]
    may_be_blank: tuple[str, ...]
    problems: list[Problem] = field(default_factory=list)

    def rows(self, text: str, read: Callable[[Mapping[str, str], int], _Row]) -> Iterator[_Row]:
        """Each row as `read` makes it of its cells by column and its line; `read` raises FieldError."""
        lines = self._lines(text)
        if not lines:
            self._file_problem(1, "the file holds no table")
            return
        first, heading = lines[0]
        if not self._check_heading(heading, first):
            return
        for line, cells in lines[1:]:
            try:
                yield read(self._cells(heading, cells), line)
            except FieldError as fault:
                self.row_problem(line, fault.found, fault.wanted)

    def row_problem(
        self, line: int, found: str, wanted: str, severity: Severity = "shortfall", hint: str = LEFT_OUT
    ) -> None:
        """Names what is wrong on a line."""
        self.problems.append(Problem(f"{self.name}-row", severity, Place(self.file_name, line), found, wanted, hint))

    @property
    def sorted_problems(self) -> tuple[Problem, ...]:
        """What was wrong, in the order of the lines."""
        return tuple(sorted(self.problems, key=lambda problem: problem.place.line or 0))

    def _lines(self, text: str) -> list[tuple[int, list[str]]]:
        """The rows with the line each begins on, blank ones left out."""
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
            hint = "It is left out with all that follows"
            self.row_problem(line, f"not a row of a table: {error}", "closed quotes", hint=hint)
        return rows

    def _check_heading(self, heading: list[str], line: int) -> bool:
        for column in heading:
            if column in self.columns:
                continue
            near = difflib.get_close_matches(column.lower().replace(" ", "_"), self.columns, 1)
            hint = f"Did you mean {near[0]}?" if near else ""
            place = Place(self.file_name, line, column)
            found = f"unknown column {column!r}"
            self.problems.append(Problem(f"{self.name}-column", "warning", place, found, "it is ignored", hint))
        missing = [column for column in self.columns if column not in heading and column not in self.may_be_blank]
        twice = sorted({column for column in heading if heading.count(column) > 1})
        for column in twice:
            self._file_problem(line, f"the column {column!r} stands there twice")
        if missing:
            self._file_problem(line, f"no column {', '.join(missing)}")
        return not missing and not twice

    def _cells(self, heading: Sequence[str], fields: Sequence[str]) -> Mapping[str, str]:
        if len(fields) != len(heading):
            raise FieldError(found=f"{len(fields)} fields", wanted=f"the heading has {len(heading)}")
        cells = dict(zip(heading, fields, strict=True))
        if not all(map(cells.get, self._needed)):
            blank = next(column for column in self._needed if not cells.get(column))
            raise FieldError(found=f"{blank} is blank", wanted="every row needs it")
        return cells

    @cached_property
    def _needed(self) -> tuple[str, ...]:
        return tuple(column for column in self.columns if column not in self.may_be_blank)

    def _file_problem(self, line: int, found: str) -> None:
        wanted = f"comma-separated columns: {', '.join(self.columns)}"
        hint = "Nothing is read from the file"
        place = Place(self.file_name, line)
        self.problems.append(Problem(f"{self.name}-columns", "shortfall", place, found, wanted, hint))
