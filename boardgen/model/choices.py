"""All the choices of one board, and the parts they took."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from msgspec import Struct

from boardgen.model.choice import Choice, Subject
from boardgen.model.part import Part
from boardgen.model.problem import Problem, shortfalls
from boardgen.model.roles import RoleName
from boardgen.model.transformer import Wound


class Choices(Struct, frozen=True, dict=True):
    """The sized values of a board in the order they were made, and what fell short on the way.

    `parts` holds every part that a value names, by key. `fixtures` are parts that no number decides, such as a
    connector or a link, by name and subject. `windings` says how each transformer is wound.
    """

    values: tuple[Choice, ...]
    parts: Mapping[str, Part]
    fixtures: Mapping[tuple[str, Subject], Part]
    problems: tuple[Problem, ...]
    windings: Mapping[Subject, Wound]

    @cached_property
    def _by_place(self) -> dict[tuple[RoleName, Subject], Choice]:
        return {(c.role, c.subject): c for c in self.values}

    @property
    def shortfalls(self) -> frozenset[tuple[str, str]]:
        """The rules that fall short, each with its place."""
        return frozenset((problem.id, problem.place.key) for problem in shortfalls(self.problems))

    def choice(self, role: RoleName, subject: Subject) -> Choice:
        """The choice in that role for that subject; KeyError where none was made."""
        return self._by_place[role, subject]

    def part(self, role: RoleName, subject: Subject) -> Part:
        """The part taken in that role for that subject; KeyError where none was."""
        return self.parts[self.choice(role, subject).part]

    def fixed(self, name: str, subject: Subject) -> Part:
        """The fixture of that name for that subject; KeyError where there is none."""
        return self.fixtures[name, subject]
