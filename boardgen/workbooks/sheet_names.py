"""Names of sheets that every spreadsheet takes, and how a formula writes them."""

from __future__ import annotations

import re
from collections.abc import Iterable

from boardgen.formats.harmless import printable

LONGEST = 31
_REFUSED = re.compile(r"[\[\]:*?/\\\s\x00-\x1f\ufffd]+")
_BLANK = "supplier"


def sheet_names(texts: Iterable[str], prefix: str) -> tuple[str, ...]:
    """A name for each text: the prefix and the text without what is refused, cut to length, no two alike.

    An apostrophe is allowed, but has to be doubled in formulas, which not every calculator understands: it goes too.
    Spreadsheets take capitals and small letters for the same; a number at the end keeps such names apart.
    """
    names: list[str] = []
    for text in texts:
        plain = _REFUSED.sub(" ", printable(text).replace("'", "")).strip() or _BLANK
        stem, number = f"{prefix}{plain}", 1
        name = _cut(stem, "")
        while name.casefold() in {other.casefold() for other in names}:
            number += 1
            name = _cut(stem, f" {number}")
        names.append(name)
    return tuple(names)


def quoted(name: str) -> str:
    """The name as a formula refers to it, with its exclamation mark."""
    return f"'{name}'!"


def _cut(stem: str, end: str) -> str:
    """The length is counted in the units of UTF-16, as spreadsheets do."""
    kept = stem
    while len((kept + end).encode("utf-16-le")) // 2 > LONGEST:
        kept = kept[:-1]
    return kept.rstrip() + end
