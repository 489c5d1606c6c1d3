"""One entry of a workbook that came back: its value, or why it cannot be one."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

from openpyxl.cell import Cell

from boardgen.files.workbook_cells import Entry
from boardgen.files.workbook_print import LONGEST_TEXT_ENTRY

MOST = 10**9
MOST_DECIMALS = 6
"""To so many decimals the formulas of the workbook round as the program does."""
_CONTROL = re.compile(r"[\x00-\x1f\x7f]")


@dataclass(frozen=True)
class CellError(Exception):
    """A cell that cannot be used. `found` and `wanted` are the two halves of a Problem."""

    found: str
    wanted: str


def number_of(cell: Cell, entry: Entry, decimals: int, *, needed: bool = True) -> Decimal | None:
    """The number that was entered; None for a blank that is not `needed`. Raises CellError."""
    least = entry.least or Decimal()
    wanted = f"{entry.name.lower()}: a {'whole ' if entry.whole else ''}number, {least:f} or more"
    if cell.value is None:
        if needed:
            raise CellError("it is blank", wanted)
        return None
    if cell.data_type != "n" or isinstance(cell.value, bool) or not isinstance(cell.value, int | float):
        raise CellError(_said(cell), wanted)
    number = Decimal(repr(cell.value))
    if number < least:
        raise CellError("it is negative" if number < 0 else f"it is {number:f}", wanted)
    if number >= MOST:
        raise CellError(f"it is {number:f}", f"{entry.name.lower()}: less than {MOST:,}")
    if round(number, decimals) != number:
        raise CellError(f"it is {number:f}", f"{wanted}, at most {decimals} decimals" if decimals else wanted)
    return round(number, decimals)


def text_of(cell: Cell, entry: Entry) -> str:
    """The text that was entered, or a whole number as its digits. Raises CellError."""
    wanted = f"{entry.name.lower()}: up to {LONGEST_TEXT_ENTRY} letters and digits"
    if cell.value is None or (isinstance(cell.value, str) and not cell.value.strip()):
        raise CellError("it is blank", wanted)
    whole = cell.data_type == "n" and isinstance(cell.value, int) and not isinstance(cell.value, bool)
    if cell.data_type != "s" and not whole:
        raise CellError(_said(cell), wanted)
    text = str(cell.value).strip()
    if len(text) > LONGEST_TEXT_ENTRY or _CONTROL.search(text):
        raise CellError(f"it is {text[:LONGEST_TEXT_ENTRY]!r}", wanted)
    return text


def _said(cell: Cell) -> str:
    kinds = {"f": "a formula", "s": "text", "b": "yes or no", "e": "an error", "d": "a day"}
    kind = kinds.get(cell.data_type, "something else")
    if cell.data_type == "n":
        return f"it is {cell.value}"
    shown = getattr(cell.value, "text", cell.value)
    return f"it holds {kind}, {str(shown)[:LONGEST_TEXT_ENTRY]!r}"
