"""Writes S-expressions: lists in brackets, whose first item is a word of the grammar.

Source: R. Rivest, S-Expressions (1997), the form of lists and quoted strings; the words are those of each format.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import sexpdata

INDENT = "  "


class Word(str):
    """A word of the grammar, written without quotes."""

    __slots__ = ()


Item = Any
"""A text, a whole number, or a list whose first item is a word of the grammar."""


def expression(item: Item) -> str:
    """The item in one line. Every text is quoted, since a bare t or nil would be read as something else."""
    if isinstance(item, Word):
        return item
    if isinstance(item, str):
        quoted: str = sexpdata.dumps(item)
        return quoted
    if isinstance(item, int):
        return str(item)
    head, *rest = item
    return f"({' '.join([str(head), *map(expression, rest)])})"


def document(item: Sequence[Item], deep: int = 1) -> str:
    """The item with each list inside it in a line of its own, so many levels deep; a line feed ends it."""
    return "\n".join(_lines(item, deep, "")) + "\n"


def _lines(item: Item, deep: int, indent: str) -> Iterator[str]:
    if deep == 0 or isinstance(item, str | int) or all(isinstance(each, str | int) for each in item):
        yield f"{indent}{expression(item)}"
        return
    at = next(number for number, each in enumerate(item) if not isinstance(each, str | int))
    yield f"{indent}{expression(item[:at])[:-1]}"
    for each in item[at:]:
        yield from _lines(each, deep - 1, indent + INDENT)
    yield f"{indent})"
