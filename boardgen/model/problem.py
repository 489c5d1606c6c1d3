"""What is wrong with an input or a design, as data; the edge turns it into words once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal

from msgspec import Struct

Severity = Literal["error", "shortfall", "warning", "note"]
"""error: nothing is built. shortfall: built, but exit 1. warning and note: said, and do not change the exit code."""


class Place(Struct, frozen=True):
    """Where a problem lies: a file, a line counted from 1, and a key path or a part of the board."""

    file: str = ""
    line: int | None = None
    key: str = ""

    def __str__(self) -> str:
        position = f"{self.file}:{self.line}" if self.file and self.line else self.file
        return ": ".join(piece for piece in (position, self.key) if piece)


class Problem(Struct, frozen=True):
    """One fault. `found` says what is there, `wanted` what is allowed or needed, `hint` what to do."""

    id: str
    severity: Severity
    place: Place
    found: str
    wanted: str = ""
    hint: str = ""

    @property
    def sentence(self) -> str:
        """The fault in one line, without its place."""
        text = self.found
        if self.wanted:
            text += f"; {self.wanted}"
        stop = "" if text.endswith("?") else "."
        return f"{text}{stop} {self.hint}" if self.hint else text


def shortfalls(problems: Iterable[Problem]) -> list[Problem]:
    """What makes the exit code 1."""
    return [p for p in problems if p.severity in ("error", "shortfall")]


def warnings(problems: Iterable[Problem]) -> list[Problem]:
    """What should be known and changes no exit code."""
    return [p for p in problems if p.severity in ("warning", "note")]


class InputError(Exception):
    """The input cannot be used. Carries every problem found, not only the first."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(f"{p.place}: {p.sentence}" for p in self.problems))
