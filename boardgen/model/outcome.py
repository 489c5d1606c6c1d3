"""What one decision gives: choices, the parts they took, and what fell short."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from msgspec import Struct, field
from msgspec.structs import replace

from boardgen.model.choice import Bound, Choice, Subject
from boardgen.model.figure import Standing
from boardgen.model.part import Part
from boardgen.model.problem import Place, Problem
from boardgen.model.roles import ROLES, RoleName
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


def choice(
    role: RoleName,
    subject: Subject,
    bound: Bound,
    required: float,
    achieved: float,
    *,
    formula: str,
    source: str,
    standing: Standing,
    chosen: float | None = None,
    basis: str = "nominal",
    at_hz: float | None = None,
    part: str = "",
    next_limit: str = "",
) -> Choice:
    """A choice in a role of the closed table. `chosen` is what was achieved unless it is given."""
    return Choice(
        role=role,
        subject=subject,
        required=required,
        unit=ROLES[role].unit,
        bound=bound,
        chosen=achieved if chosen is None else chosen,
        achieved=achieved,
        basis=basis,
        formula=formula,
        source=source,
        standing=standing,
        at_hz=at_hz,
        part=part,
        margin=_margin(bound, required, achieved),
        next_limit=next_limit,
    )


def _margin(bound: Bound, required: float, achieved: float) -> float | None:
    if bound == "at least":
        return achieved / required if required > 0 else None
    return required / achieved if achieved > 0 else None


def gather(outcomes: Iterable[Outcome]) -> Outcome:
    """All of them as one."""
    return sum(outcomes, Outcome())


def for_strip(outcome: Outcome, label: str) -> Outcome:
    """The same choices made for another strip, whose label is given. Problems, which name a strip, are left out."""
    windings = {replace(at, strip=label): wound for at, wound in outcome.windings.items()}
    return Outcome(tuple(c.for_strip(label) for c in outcome.choices), outcome.parts, windings=windings)


def shortfall(identity: str, subject: Subject, found: str, wanted: str, hint: str) -> Problem:
    """A rule that could not be met: the board is built all the same, and the exit code says so."""
    return Problem(identity, "shortfall", Place(key=str(subject) or "board"), found, wanted, hint)


def warning(identity: str, subject: Subject, found: str, hint: str = "") -> Problem:
    """Something to know that breaks no rule."""
    return Problem(identity, "warning", Place(key=str(subject) or "board"), found, "", hint)
