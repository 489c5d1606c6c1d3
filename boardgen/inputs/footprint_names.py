"""A user's own footprint names, from footprint_names.csv in the folder of own parts."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from msgspec import Struct

from boardgen.model.problem import InputError, Place, Problem
from boardgen.tables.column import column
from boardgen.tables.csv_table import CsvKind, read_table
from boardgen.tables.text_file import read_text_file

NAME = "footprint_names.csv"
_ID = "U004 footprint names"
_KIND = CsvKind(_ID, strict=True)


class FootprintNameRow(Struct, frozen=True):
    """One footprint."""

    footprint: Annotated[str, column("key of a footprint of the catalogue")]
    name: Annotated[str, column("what it is called in the user's own library")]


def read_footprint_names(own_parts: Path | None) -> dict[str, str]:
    """The user's name by our footprint key; empty without such a file.

    Raises InputError with every row at fault.
    """
    path = own_parts / NAME if own_parts else None
    if path is None or not path.exists():
        return {}
    try:
        text = read_text_file(path)
    except (OSError, UnicodeDecodeError) as error:
        found = f"cannot be read: {getattr(error, 'strerror', error)}"
        problem = Problem(_ID, "error", Place(str(path)), found, "two columns: footprint,name")
        raise InputError([problem]) from None
    table = read_table(text, str(path), FootprintNameRow, _KIND)
    names: dict[str, str] = {}
    for line, row in table.rows:
        if row.footprint in names:
            table.row_fault(line, f"{row.footprint} has more than one name", "one row for each footprint")
        names[row.footprint] = row.name
    table.faults.raise_any()
    return names
