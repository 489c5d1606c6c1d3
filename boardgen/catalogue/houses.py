"""Limits of board houses, from the [[board_house]] tables of limits/board_houses.toml."""

from __future__ import annotations

from pathlib import Path

import tomli

from boardgen.catalogue.cells import is_number, is_text
from boardgen.catalogue.faults import Faults
from boardgen.model.board_house import BoardHouse
from boardgen.model.figure import STANDINGS
from boardgen.model.problem import Place
from boardgen.tables.shown import shown

TEXTS = ("name", "standing", "source")
UNIT = "_nm"
"""The file gives millimetres under the names of the limits without their unit."""
NAMES = tuple(name.removesuffix(UNIT) for name in BoardHouse.__struct_fields__)


def read_houses(folder: Path, faults: Faults) -> tuple[BoardHouse, ...]:
    """The houses of a folder of parts, the first the one that is used; none where it has no such file."""
    path = folder / "limits" / "board_houses.toml"
    if not path.exists():
        return ()
    file = path.as_posix()
    try:
        tables = tomli.loads(path.read_text(encoding="utf-8")).get("board_house")
    except (OSError, UnicodeDecodeError, tomli.TOMLDecodeError) as error:
        faults.add("K001 unreadable file", Place(file), f"the file cannot be read: {error}", "wanted is TOML")
        return ()
    if not isinstance(tables, list) or not tables or not all(isinstance(table, dict) for table in tables):
        faults.add("K003 wrong type", Place(file), "there is no list of houses", "write [[board_house]]")
        return ()
    found = [_house(table, file, faults) for table in tables]
    return tuple(house for house in found if house)


def _house(table: dict[str, object], file: str, faults: Faults) -> BoardHouse | None:
    """One house; None, and its faults added, where a limit is absent, unknown or no length."""
    good = True
    for name in table.keys() - set(NAMES):
        faults.unknown("K002 unknown key", Place(file, key=name), "the limit", name, NAMES)
        good = False
    for name in NAMES:
        value, place = table.get(name), Place(file, key=name)
        if value is None:
            faults.add("K004 absent key", place, f"{name} is absent", "every limit is needed")
        elif name in TEXTS and not is_text(value):
            faults.add("K003 wrong type", place, f"{name} is {shown(value)}", "wanted is a text of one line")
        elif name == "standing" and value not in STANDINGS:
            faults.unknown("K005 not a choice", place, "the standing", str(value), STANDINGS)
        elif name not in TEXTS and not (is_number(value) and value > 0):
            faults.add("K003 wrong type", place, f"{name} is {shown(value)}", "wanted are millimetres above 0")
        else:
            continue
        good = False
    if not good:
        return None
    lengths = {f"{name}{UNIT}": round(float(str(value)) * 1e6) for name, value in table.items() if name not in TEXTS}
    return BoardHouse(**{name: str(table[name]) for name in TEXTS}, **lengths)  # type: ignore[arg-type]
