"""What one decision gives: choices, the parts they took, and what fell short."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from boardgen.model.choice import Choice, Subject
from boardgen.model.part import Part
from boardgen.model.problem import Place, Problem


@dataclass(frozen=True, slots=True)
class Outcome:
    """Choices with the parts they name, and problems."""

    choices: tuple[Choice, ...] = ()
    parts: tuple[Part, ...] = ()
    problems: tuple[Problem, ...] = ()

    def __add__(self, other: Outcome) -> Outcome:
        return Outcome(self.choices + other.choices, self.parts + other.parts, self.problems + other.problems)


def gather(outcomes: Iterable[Outcome]) -> Outcome:
    """All of them as one."""
    return sum(outcomes, Outcome())


def shortfall(identity: str, subject: Subject, found: str, wanted: str, hint: str) -> Problem:
    """A rule that could not be met: the board is built all the same, and the exit code says so."""
    return Problem(identity, "shortfall", Place(key=str(subject) or "board"), found, wanted, hint)


def warning(identity: str, subject: Subject, found: str, hint: str = "") -> Problem:
    """Something to know that breaks no rule."""
    return Problem(identity, "warning", Place(key=str(subject) or "board"), found, "", hint)
