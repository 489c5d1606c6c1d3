"""A user's own footprint names, from footprint_names.csv in the folder of own parts."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from msgspec import Struct

from boardgen.model.part import FootprintName
from boardgen.model.problem import InputError, Place, Problem
from boardgen.tables.column import column
from boardgen.tables.csv_table import CsvKind, read_table
from boardgen.tables.text_file import read_text_file

NAME = "footprint_names.csv"
_ID = "U004 footprint names"
TURNS_DEG = (0, 90, 180, 270)
_KIND = CsvKind(_ID, strict=True)


class FootprintNameRow(Struct, frozen=True):
    """One footprint."""

    footprint: Annotated[str, column("key of a footprint of the catalogue")]
    name: Annotated[str, column("what it is called in the user's own library")]
    pads: Annotated[
        str, column("our number of a pad and its number there, such as 1:2;2:1, for pads numbered otherwise")
    ] = ""
    x_mm: Annotated[float, column("where its origin lies from ours, seen from the component side", "mm")] = 0
    y_mm: Annotated[float, column("the same, upwards", "mm")] = 0
    turn_deg: Annotated[int, column("how far it is turned anticlockwise: 0, 90, 180 or 270", "degrees")] = 0
    hole_mm: Annotated[float | None, column("its narrowest hole", "mm", least=0)] = None
    note: Annotated[str, column("a note, which is not read")] = ""


def read_footprint_names(own_parts: Path | None) -> dict[str, FootprintName]:
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
        problem = Problem(
            _ID, "error", Place(str(path)), found, "columns footprint,name, and pads where they are numbered otherwise"
        )
        raise InputError([problem]) from None
    table = read_table(text, str(path), FootprintNameRow, _KIND)
    names: dict[str, FootprintName] = {}
    for line, row in table.rows:
        if row.footprint in names:
            table.row_fault(line, f"{row.footprint} has more than one name", "one row for each footprint")
        pads = _pads(row.pads)
        if pads is None:
            table.row_fault(line, f"pads is {row.pads}", "our number, a colon, the number there; semicolons between")
        if row.turn_deg not in TURNS_DEG:
            table.row_fault(line, f"turn_deg is {row.turn_deg}", "0, 90, 180 or 270")
        place = round(row.x_mm * 1e6), round(row.y_mm * 1e6), row.turn_deg // 90
        hole_nm = None if row.hole_mm is None else round(row.hole_mm * 1e6)
        names[row.footprint] = FootprintName(row.name, pads or {}, *place, hole_nm)
    table.faults.raise_any()
    return names


def _pads(text: str) -> dict[str, str] | None:
    """The number there by our number; None where the text is no such list, or two pads would have one number."""
    pairs = [pair.partition(":") for pair in text.split(";")] if text else []
    found = {ours.strip(): theirs.strip() for ours, _, theirs in pairs}
    numbers = [*found, *found.values()]
    whole = len(found) == len(set(found.values())) == len(pairs) and not any(
        ":" in each or not each for each in numbers
    )
    return found if whole else None
