"""[[family]] tables to one table a row: the keys that all share, and the columns."""

from __future__ import annotations

import re
from collections.abc import Iterator

from boardgen.catalogue.blocks import Block, Table
from boardgen.catalogue.cells import Cells
from boardgen.catalogue.faults import Faults
from boardgen.catalogue.parts import KEYS, MAPS, TEXTS
from boardgen.kinds import KIND

_FIELD = re.compile(r"\{([^{}]*)\}")
_OWN = ("columns", "rows", "key_pattern")


def rows_of(block: Block, faults: Faults) -> Iterator[tuple[Table, str]]:
    """The table and the name of each row; a column is a key of a part, a figure, or such as "attributes.size"."""
    cells = Cells(block, block.table, block.name, faults)
    cells.only((*KEYS, *_OWN))
    columns, rows = cells.lines("columns"), block.table.get("rows")
    homes = [_home(cells, column) for column in columns]
    if not columns or not isinstance(rows, list) or not rows:
        cells.fault(
            "K004 absent key", "columns or rows are absent", "wanted are columns = [...] and rows = [[...], ...]"
        )
        return
    shared = {key: value for key, value in block.table.items() if key not in _OWN}
    for number, row in enumerate(rows, 1):
        if not (isinstance(row, list) and len(row) == len(columns) and all(isinstance(cell, str) for cell in row)):
            wanted = f"wanted are {len(columns)} texts: {', '.join(columns)}"
            cells.fault("K010 wrong row", f"row {number} does not fit the columns", wanted, "rows")
            continue
        table = _filled(shared, homes, row)
        if "key" not in table:
            table["key"] = filled_pattern(cells, "key_pattern", dict(zip(columns, row, strict=True)))
        yield table, str(table["key"])


def filled_pattern(cells: Cells, key: str, fields: dict[str, str]) -> str:
    """The pattern under that key with each {field} filled in; keys of parts are in small letters without spaces."""
    pattern = cells.text(key, needed=True)
    for field in _FIELD.findall(pattern):
        if field not in fields:
            cells.unknown("K012 unknown field", "the field", field, tuple(fields), key)
    filled = _FIELD.sub(lambda match: fields.get(match[1], ""), pattern)
    return filled.lower().replace(" ", "") if key == "key_pattern" else filled


def _home(cells: Cells, column: str) -> tuple[str, str]:
    """The table a column belongs to, empty for the part itself, and its name there."""
    kind = KIND.get(str(cells.block.table.get("kind")))
    known = kind.figures if kind else {}
    table, _, name = column.partition(".")
    if table in MAPS and name:
        return table, name
    if column in (*TEXTS, "verify"):
        return "", column
    if column not in known:
        cells.unknown(
            "K007 unknown figure", "the column", column, (*TEXTS, *known, "attributes.NAME"), "columns", column
        )
    return "figures", column


def _filled(shared: Table, homes: list[tuple[str, str]], row: list[str]) -> Table:
    """The shared keys with the cells of one row; an empty cell is a blank, and sentences to verify add up."""
    table = {key: dict(value) if isinstance(value, dict) else value for key, value in shared.items()}
    for (home, name), cell in zip(homes, row, strict=True):
        if not cell:
            continue
        if home:
            inner = table.setdefault(home, {})
            if isinstance(inner, dict):
                inner[name] = cell
        elif name == "verify":
            before = table.get("verify", [])
            table["verify"] = [*before, cell] if isinstance(before, list) else cell
        else:
            table[name] = cell
    return table
