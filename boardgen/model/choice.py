"""A chosen value and its story."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from boardgen.model.figure import Standing
from boardgen.model.roles import RoleName

NEAR_ENOUGH = 0.02
"""How far an "equal" may be off: the steps of 1 % resistors."""

Bound = Literal["at least", "at most", "equal"]


class Subject(Struct, frozen=True, order=True):
    """What a choice or a part is for: a strip of the board, a stage of it, and a place in the stage.

    `strip` is the label of an antenna, "output", or "" for what serves the whole board. `number` counts from 1 where a
    stage has several of a sort, a relay with what belongs to it, say; `letter` tells two apart that share a number.
    """

    strip: str
    stage: str
    slot: str = ""
    number: int = 0
    letter: str = ""

    @property
    def place(self) -> str:
        """The place in the stage as it is written, such as "coil bypass 1a"."""
        return f"{self.slot} {self.number or ''}{self.letter}".strip()

    def __str__(self) -> str:
        return " ".join(piece for piece in (self.strip, self.stage, self.place) if piece)


class Choice(Struct, frozen=True):
    """One sized value: what was needed, what was taken, and why.

    `required`, `chosen` and `achieved` are numbers in `unit` (SI; `chosen` is a count for turns). `achieved` is the
    figure that is held against `required` in the worst case. `margin` is achieved over required (or the reverse for
    "at most"), so 1.0 is just met; None where a ratio says nothing. `at_hz` is the frequency at which the rule binds.
    """

    role: RoleName
    subject: Subject
    required: float
    unit: str
    bound: Bound
    chosen: float
    achieved: float
    basis: str
    formula: str
    source: str
    standing: Standing
    at_hz: float | None = None
    part: str = ""
    margin: float | None = None
    next_limit: str = ""

    @property
    def met(self) -> bool:
        """Whether what was achieved meets what was required."""
        slack = 1e-9 * abs(self.required)
        if self.bound == "at least":
            return self.achieved >= self.required - slack
        if self.bound == "at most":
            return self.achieved <= self.required + slack
        return abs(self.achieved - self.required) <= NEAR_ENOUGH * abs(self.required)

    def for_strip(self, label: str) -> Choice:
        """The same choice made for the strip of that label."""
        subject = replace(self.subject, strip=label)
        # written out, since dataclasses.replace takes three times as long
        return Choice(
            self.role,
            subject,
            self.required,
            self.unit,
            self.bound,
            self.chosen,
            self.achieved,
            self.basis,
            self.formula,
            self.source,
            self.standing,
            self.at_hz,
            self.part,
            self.margin,
            self.next_limit,
        )
