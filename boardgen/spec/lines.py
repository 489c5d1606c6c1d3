"""The line of a key in a TOML text."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from boardgen.model.problem import Place, Problem

COMMAND_LINE = "command line"
_MARK = "\x00{}\x00"
_ANY_MARK = re.compile("\x00[0-9]+\x00")
_STEP = re.compile(r"([^.\[\]]+)|\[([0-9]+)\]")
_LARGEST_CHARACTERS = 200_000


class SpecText(Struct, frozen=True):
    """What a specification was read from: its file, the text, and the dotted keys that the command line gave."""

    file: str
    text: str
    given: frozenset[str] = frozenset()

    def at_lines(self, problems: Sequence[Problem]) -> list[Problem]:
        """The problems that are found by key alone, with file and line; the others as they are."""
        keys = {p.place.key: _path(p.place.key) for p in problems if not p.place.file and p.place.key}
        lines = line_numbers(self.text.removeprefix("\ufeff"), keys.values())
        found = []
        for problem in problems:
            key = problem.place.key
            if key in self.given:
                problem = replace(problem, place=Place(COMMAND_LINE, None, key))
            elif key in keys:
                problem = replace(problem, place=Place(self.file, lines.get(keys[key]), key))
            found.append(problem)
        return found


def _path(key: str) -> tuple[str | int, ...]:
    """The steps of a key as it is written, tables of a list counted from 0: "in_hand[2].part"."""
    return tuple(int(number) - 1 if number else name for name, number in _STEP.findall(key))


def line_numbers(text: str, paths: Iterable[Sequence[str | int]]) -> dict[tuple[str | int, ...], int]:
    """The line, counted from 1, of each key path of a TOML text; of the closest table above it where a key is absent.

    A path that lies nowhere is left out, and so are all of them in a text too large for the round-trip parser.
    How: the round-trip parser reads the text, a mark that no TOML can hold is put before each item on the way to a
    path, and the newlines before the mark are counted in what the parser writes again.
    """
    if len(text) > _LARGEST_CHARACTERS:
        return {}
    # imported here because it is slow, and wanted only when there is a fault to report
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    try:
        document = tomlkit.parse(text)
        trails = {tuple(path): list(_mark(document, path)) for path in paths}
        rendered = document.as_string()
    except (TOMLKitError, ValueError, KeyError, TypeError, AttributeError, IndexError, RecursionError):
        return {}
    plain = _ANY_MARK.sub("", rendered).split("\n")
    lines = text.split("\n")
    found = {}
    for path, trail in trails.items():
        at = next((at for mark in reversed(trail) if (at := rendered.find(mark)) >= 0), None)
        if at is not None:
            number = rendered.count("\n", 0, at)
            found[path] = _same_line(plain, number, lines) + 1
    return found


def _same_line(plain: Sequence[str], number: int, lines: Sequence[str]) -> int:
    # the parser gathers the tables of a list that others stand between, so equal lines are counted, not all lines
    equal = [at for at, line in enumerate(lines) if line == plain[number]]
    before = plain[:number].count(plain[number])
    return equal[before] if before < len(equal) else number


def _mark(document: Any, path: Sequence[str | int]) -> Iterator[str]:
    """Put a mark that no TOML text can hold before each item on the way to `path`, and yield the marks."""
    node = document
    # a list of tables has no place of its own: its first table stands for it
    for step in (*path, 0):
        node = _member(node, step)
        if node is None:
            return
        trivia = getattr(node, "trivia", None)
        if trivia is not None:
            mark = _MARK.format(id(node))
            if mark not in trivia.indent:
                trivia.indent = trivia.indent + mark
            yield mark


def _member(node: Any, step: str | int) -> Any:
    from tomlkit.container import Container, OutOfOrderTableProxy
    from tomlkit.exceptions import NonExistentKey

    try:
        if isinstance(step, int):
            return node[step]
        if isinstance(node, OutOfOrderTableProxy):
            node = node._internal_container
        container = node if isinstance(node, Container) else node.value
        return container.item(step)
    except (NonExistentKey, KeyError, IndexError, TypeError, AttributeError):
        return None
