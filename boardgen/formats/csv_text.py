"""Tables of comma-separated values (RFC 4180, with line feeds): UTF-8, and no text that a spreadsheet would calculate.

Text that begins with = + - @, a tab or a carriage return has an apostrophe put before it. A blank cell is not known.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

_STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def csv_bytes(columns: Sequence[str], rows: Iterable[Sequence[object]]) -> bytes:
    """A table under its headings; a letter that UTF-8 cannot hold becomes a question mark.

    The cells are written as they are: text from elsewhere is made `harmless` first.
    """
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\n")
    table.writerow(columns)
    table.writerows(rows)
    return text.getvalue().encode("utf-8", "replace")


def looks_like_formula(text: str) -> bool:
    """Whether a spreadsheet that opens the text might calculate it."""
    return text.startswith(_STARTS_A_FORMULA)


def harmless(text: str) -> str:
    """The text with an apostrophe before it where it looks like a formula."""
    return f"'{text}" if looks_like_formula(text) else text


def harmless_cell(text: str) -> str:
    """The same for a cell of a table that may hold a number, which stays as it is: "-0.1"."""
    try:
        float(text)
    except ValueError:
        return harmless(text)
    return text
