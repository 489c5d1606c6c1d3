"""Writes and reads S-expressions: lists in brackets, whose first item is a word of the grammar.

Source: R. Rivest, S-Expressions (1997), the form of lists and quoted strings; the words are those of each format.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import Any

import sexpdata

INDENT = "  "
_TOKEN = re.compile(r'\s*(?:([()])|"((?:[^"\\]|\\.)*)"|([^\s()"]+)|\Z)', re.DOTALL)

_ESCAPED = {"n": "\n", "t": "\t", "r": "\r"}


class ExpressionError(ValueError):
    """The text is not one whole expression."""


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
        return _quoted(item)
    if isinstance(item, int):
        return str(item)
    head, *rest = item
    return f"({' '.join([str(head), *map(expression, rest)])})"


@lru_cache(4096)
def _quoted(text: str) -> str:
    # a file repeats its texts many times, and quoting one takes longer than all else that is done with it
    quoted: str = sexpdata.dumps(text)
    return quoted


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


def read_expression(text: str) -> Sequence[Item]:
    """The one list that a text holds: texts as they stand, words of the grammar and numbers as `Word`.

    Raises ExpressionError where it breaks off, or holds something else.
    """
    whole: list[Item] = []
    open_lists, at = [whole], 0
    while at < len(text):
        match = _TOKEN.match(text, at)
        if match is None:
            raise ExpressionError("a text breaks off")
        at = match.end()
        bracket, quoted, word = match.groups()
        if bracket == "(":
            deeper: list[Item] = []
            open_lists[-1].append(deeper)
            open_lists.append(deeper)
        elif bracket == ")":
            open_lists.pop()
            if not open_lists:
                raise ExpressionError("a bracket closes nothing")
        elif quoted is not None:
            open_lists[-1].append(
                re.sub(r"\\(.)", lambda m: _ESCAPED.get(m.group(1), m.group(1)), quoted, flags=re.DOTALL)
            )
        elif word:
            open_lists[-1].append(Word(word))
    if len(open_lists) > 1:
        raise ExpressionError("it breaks off")
    if len(whole) != 1 or isinstance(whole[0], str):
        raise ExpressionError("it is not one whole expression")
    only: Sequence[Item] = whole[0]
    return only


def named(item: Sequence[Item], word: str) -> Iterator[Sequence[Item]]:
    """The lists in a list that begin with this word of the grammar."""
    return (each for each in item if isinstance(each, list) and each and each[0] == word)


def one(item: Sequence[Item], word: str) -> Sequence[Item]:
    """The only list that begins with this word. Raises ExpressionError where there is none, or several."""
    found = list(named(item, word))
    if len(found) != 1:
        msg = f"({word} ...) stands there {len(found)} times, not once"
        raise ExpressionError(msg)
    return found[0]
