"""Words of documents with figures among them, each behind the name of its value, so that documents can be compared."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct


class Value(Struct, frozen=True):
    """A value as it is shown, behind the name by which every document of the same board knows it.

    One text for equal values of several parts has all their names, apart by spaces. A `formula` gets its signs and is
    otherwise left as it is, for "A^0.725" is no current.
    """

    names: str
    words: str
    formula: bool = False


class Code(Struct, frozen=True):
    """An order code, a footprint or a designator among other words: kept letter for letter."""

    words: str


Text = str | Value | Code | tuple[str | Value | Code, ...]
"""Words, which may hold values and codes."""


def joined(between: str, texts: Iterable[Text]) -> Text:
    """Texts in a row with the same words between them."""
    pieces: list[str | Value | Code] = []
    for text in texts:
        pieces += [between] if pieces else []
        pieces += text if isinstance(text, tuple) else (text,)
    return tuple(pieces)


def in_row(names: Iterable[str]) -> str:
    """Names of the user's own in a row: apart by semicolons where one of them has a comma."""
    each = list(names)
    return ("; " if any("," in name for name in each) else ", ").join(each)


def plain(text: Text) -> str:
    """The words alone."""
    if isinstance(text, str):
        return text
    return "".join(plain(piece) for piece in text) if isinstance(text, tuple) else text.words
