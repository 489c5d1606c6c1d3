"""What one decision gives: choices, the parts they took, and what fell short."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from msgspec import Struct, field

from boardgen.model.choice import Choice, Subject
from boardgen.model.part import Part
from boardgen.model.problem import Place, Problem
from boardgen.model.transformer import Wound


class Outcome(Struct, frozen=True):
    """Choices with the parts they name, problems, and how each transformer is wound."""

    choices: tuple[Choice, ...] = ()
    parts: tuple[Part, ...] = ()
    problems: tuple[Problem, ...] = ()
    windings: Mapping[Subject, Wound] = field(default_factory=dict)

    def __add__(self, other: Outcome) -> Outcome:
        return Outcome(
            self.choices + other.choices,
            self.parts + other.parts,
            self.problems + other.problems,
            {**self.windings, **other.windings},
        )


def gather(outcomes: Iterable[Outcome]) -> Outcome:
    """All of them as one."""
    return sum(outcomes, Outcome())


def for_strip(outcome: Outcome, label: str) -> Outcome:
    """The same choices made for another strip, whose label is given. Problems, which name a strip, are left out."""
    windings = {Subject(label, at.stage, at.slot): wound for at, wound in outcome.windings.items()}
    return Outcome(tuple(c.for_strip(label) for c in outcome.choices), outcome.parts, windings=windings)


def shortfall(identity: str, subject: Subject, found: str, wanted: str, hint: str) -> Problem:
    """A rule that could not be met: the board is built all the same, and the exit code says so."""
    return Problem(identity, "shortfall", Place(key=str(subject) or "board"), found, wanted, hint)


def warning(identity: str, subject: Subject, found: str, hint: str = "") -> Problem:
    """Something to know that breaks no rule."""
    return Problem(identity, "warning", Place(key=str(subject) or "board"), found, "", hint)
