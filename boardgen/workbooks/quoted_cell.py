"""One entry of a workbook that came back: its value, or why it cannot be one."""

from __future__ import annotations

import re
from decimal import Decimal

from openpyxl.cell import Cell

from boardgen.purchasing.fields import FieldError
from boardgen.workbooks.cells import Entry
from boardgen.workbooks.print_setup import LONGEST_TEXT_ENTRY

MOST = 10**9
MOST_DECIMALS = 8
"""As in a price file."""
_CONTROL = re.compile(r"[\x00-\x1f\x7f]")


def number_of(cell: Cell, entry: Entry, decimals: int, *, needed: bool = True) -> Decimal | None:
    """The number that was entered; None for a blank that is not `needed`. Raises FieldError."""
    least = entry.least or Decimal()
    wanted = f"{entry.name.lower()}: a {'whole ' if entry.whole else ''}number, {least:f} or more"
    if cell.value is None:
        if needed:
            raise FieldError(found="it is blank", wanted=wanted)
        return None
    if cell.data_type != "n" or isinstance(cell.value, bool) or not isinstance(cell.value, int | float):
        raise FieldError(found=_said(cell), wanted=wanted)
    number = Decimal(repr(cell.value))
    if number < least:
        raise FieldError(found="it is negative" if number < 0 else f"it is {number:f}", wanted=wanted)
    if number >= MOST:
        raise FieldError(found=f"it is {number:f}", wanted=f"{entry.name.lower()}: less than {MOST:,}")
    if round(number, decimals) != number:
        allowed = f", at most {decimals} decimals" if decimals else ""
        raise FieldError(found=f"it is {number:f}", wanted=f"{wanted}{allowed}")
    return round(number, decimals)


def text_of(cell: Cell, entry: Entry) -> str:
    """The text that was entered, or a whole number as its digits. Raises FieldError."""
    wanted = f"{entry.name.lower()}: up to {LONGEST_TEXT_ENTRY} letters and digits"
    if cell.value is None or (isinstance(cell.value, str) and not cell.value.strip()):
        raise FieldError(found="it is blank", wanted=wanted)
    whole = cell.data_type == "n" and isinstance(cell.value, int) and not isinstance(cell.value, bool)
    if cell.data_type != "s" and not whole:
        raise FieldError(found=_said(cell), wanted=wanted)
    text = str(cell.value).strip()
    if len(text) > LONGEST_TEXT_ENTRY or _CONTROL.search(text):
        raise FieldError(found=f"it is {text[:LONGEST_TEXT_ENTRY]!r}", wanted=wanted)
    return text


def _said(cell: Cell) -> str:
    kinds = {"f": "a formula", "s": "text", "b": "yes or no", "e": "an error", "d": "a day"}
    kind = kinds.get(cell.data_type, "something else")
    if cell.data_type == "n":
        return f"it is {cell.value}"
    shown = getattr(cell.value, "text", cell.value)
    return f"it holds {kind}, {str(shown)[:LONGEST_TEXT_ENTRY]!r}"
