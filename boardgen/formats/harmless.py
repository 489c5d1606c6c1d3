"""Text that no spreadsheet takes for a formula."""

from __future__ import annotations

import re

_STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")
_UNPRINTABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")


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


def printable(text: str) -> str:
    """The text with a replacement mark for each character that XML cannot hold."""
    return _UNPRINTABLE.sub("\ufffd", text)
