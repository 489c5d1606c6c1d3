"""What a kind's direct-current law is given: a part between its nets, at an end of its tolerances."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Literal

from msgspec import Struct

from boardgen.direct_current.elements import Element, Resistor
from boardgen.model.choices import Choices
from boardgen.model.figure import Figure, Standing
from boardgen.model.netlist import Component

Grade = Literal["low", "middle", "high"]
GRADES: tuple[Grade, Grade, Grade] = ("low", "middle", "high")
"""Where resistances and forward voltages lie in their tolerances."""
JOINT_OHM = 1e-3
"""A good solder joint or clamp: assumed."""
CHOKE_LEAST = 0.5
"""Least resistance of a choke over the maker's most: assumed."""
Drop = Literal["least", "typical", "most"]


class Ohms(Struct, frozen=True):
    """A resistance with its range, and how it is known."""

    low: float
    middle: float
    high: float
    standing: Standing

    def at(self, grade: Grade) -> float:
        """The resistance at that end of its range."""
        return {"low": self.low, "middle": self.middle, "high": self.high}[grade]


def ohms(figure: Figure) -> Ohms:
    """A figure in ohm with its tolerance."""
    return Ohms(figure.least, figure.value, figure.most, figure.standing)


class Warmth(Struct, frozen=True):
    """How warm junctions are, and which end of the forward voltage's tolerance they have."""

    celsius: float
    drop: Drop


class DirectPart(Struct, frozen=True):
    """A fitted part as direct current meets it.

    Parameters
    ----------
    name : before the name of each element: the designator, its board's name before it where there are several boards
    nodes : the node at each of its pins, by role; free pins are absent
    grade : the end of its tolerances
    operated : whether a relay is pulled in
    choices : what was chosen for the board, of which windings take their wire; None where it is not known
    warmth : of junctions at a corner; None on the bench, where they are as warm as a room and spread as samples do

    """

    name: str
    component: Component
    nodes: Mapping[str, str]
    grade: Grade
    operated: bool = False
    choices: Choices | None = None
    warmth: Warmth | None = None

    def resistance(self, roles: tuple[str, str], ohms: Ohms, element: str = "") -> Iterator[Resistor]:
        """A resistance between two pins; none where one of them is free or both are joined."""
        one, other = (self.nodes.get(role) for role in roles)
        if one and other and one != other:
            yield Resistor(f"{self.name} {element}" if element else self.name, one, other, ohms.at(self.grade))

    def across(self, ohms: Ohms) -> Iterator[Resistor]:
        """A resistance across a part with two pins."""
        first, second = self.component.part.pins
        return self.resistance((first, second), ohms)

    @property
    def on_bench(self) -> bool:
        """Whether one sample is measured, whose spread is assumed where a maker gives none.

        A station is proven at what makers guarantee.
        """
        return self.warmth is None

    def figure(self, name: str) -> Ohms:
        """A figure in ohm with its tolerance."""
        return ohms(self.component.part.figures[name])

    def copper(self, name: str) -> Ohms:
        """A figure in ohm of a choke, of which makers give the most."""
        known = self.figure(name)
        if not self.on_bench:
            return known
        return Ohms(min(known.low, CHOKE_LEAST * known.middle), known.middle, known.high, known.standing)


DirectLaw = Callable[[DirectPart], Iterator[Element]]
"""The elements of a part at direct current."""
