"""A user's own footprint names, from footprint_names.csv in the folder of own parts."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from boardgen.files.plain_file import read_plain_file
from boardgen.model.problem import InputError, Place, Problem

NAME = "footprint_names.csv"
COLUMNS = ["footprint", "name"]


def read_footprint_names(own_parts: Path | None) -> dict[str, str]:
    """The user's name by our footprint key: rows of two columns under the headings footprint and name.

    Raises InputError with every row at fault.
    """
    path = own_parts / NAME if own_parts else None
    if path is None or not path.exists():
        return {}
    try:
        text = read_plain_file(path).decode("utf-8-sig")
        headings, *rows = [row for row in csv.reader(io.StringIO(text, newline=""), strict=True) if row] or [[]]
    except OSError as error:
        raise InputError([_fault(path, None, f"cannot be read: {error.strerror}")]) from None
    except (UnicodeDecodeError, csv.Error) as error:
        raise InputError([_fault(path, None, f"cannot be read: {error}")]) from None
    faults = [] if headings == COLUMNS else [_fault(path, 1, f"the headings are {', '.join(headings)}")]
    faults += [
        _fault(path, n, f"row {row} has not two filled cells") for n, row in enumerate(rows, 2) if not _good(row)
    ]
    keys = [row[0] for row in rows if _good(row)]
    faults += [_fault(path, None, f"{key} has more than one name") for key in sorted(set(keys)) if keys.count(key) > 1]
    if faults:
        raise InputError(faults)
    return dict(rows)


def _good(row: list[str]) -> bool:
    return len(row) == len(COLUMNS) and all(row)


def _fault(path: Path, line: int | None, found: str) -> Problem:
    return Problem("U004 footprint names", "error", Place(str(path), line), found, "two columns: footprint,name")
