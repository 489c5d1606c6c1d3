"""A user's own footprint names, from footprint_names.csv in the folder of own parts."""

from __future__ import annotations

import csv
from pathlib import Path

from boardgen.model.problem import InputError, Place, Problem

NAME = "footprint_names.csv"
COLUMNS = ["footprint", "name"]


def read_footprint_names(own_parts: Path | None) -> dict[str, str]:
    """The user's name by our footprint key: rows of two columns under the headings footprint and name.

    Raises InputError with every row at fault.
    """
    path = own_parts / NAME if own_parts else None
    if path is None or not path.is_file():
        return {}
    try:
        with path.open(newline="", encoding="utf-8-sig") as file:
            headings, *rows = [row for row in csv.reader(file) if row] or [[]]
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise InputError([_fault(path, None, f"cannot be read: {error}")]) from None
    faults = [] if headings == COLUMNS else [_fault(path, 1, f"the headings are {', '.join(headings)}")]
    faults += [
        _fault(path, n, f"row {row} has not two filled cells") for n, row in enumerate(rows, 2) if not _good(row)
    ]
    if faults:
        raise InputError(faults)
    return dict(rows)


def _good(row: list[str]) -> bool:
    return len(row) == len(COLUMNS) and all(row)


def _fault(path: Path, line: int | None, found: str) -> Problem:
    return Problem("U004 footprint names", "error", Place(str(path), line), found, "two columns: footprint,name")
