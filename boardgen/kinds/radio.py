"""What a kind's radio-frequency law is given: a part between the nodes of the network that is solved."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from msgspec import Struct

from boardgen.model.choices import Choices
from boardgen.model.figure import Figure
from boardgen.model.netlist import Component
from boardgen.rf_network.element import Element, Parameter, parameter

MEASURED = "measured "
"""Before the name of a user's own curve, where others have their material."""


class RadioPart(Struct, frozen=True):
    """A fitted part as radio frequencies meet it.

    `nodes` are those of its pins by role; nets that their source holds are the reference. `assumed` are the figures of
    its kind that stand where the part has none. `curve` names the user's own curve of the kind among the tables of
    permeability, "" where there is none.
    """

    component: Component
    nodes: Mapping[str, str]
    choices: Choices
    assumed: Mapping[str, Figure]
    curve: str = ""

    def figure(self, name: str) -> Figure:
        """The figure of that name; KeyError where none is known or assumed."""
        figures = self.component.part.figures
        return figures[name] if name in figures else self.assumed[name]

    def parameter(self, name: str) -> Parameter:
        """A figure under its own name."""
        return parameter(name, self.figure(name))

    def named(self, law_name: str, name: str, share: float = 1.0) -> Parameter:
        """A share of a figure under the name that the law has for it."""
        return parameter(law_name, self.figure(name), share, name)

    def capacitance(self, name: str, share: float = 1.0, label: str = "") -> Parameter:
        """A share of a figure that is a capacitance without loss; `label` is what people call the share."""
        return parameter("capacitance", self.figure(name), share, label or name)

    def between(self, law: str, roles: tuple[str, str], *parameters: Parameter) -> Iterator[Element]:
        """An element between two pins; none where one of them is free."""
        if all(role in self.nodes for role in roles):
            yield self.coupled(law, (roles,), parameters)

    def across(self, law: str, *parameters: Parameter, material: str = "") -> Iterator[Element]:
        """An element across a part with two pins."""
        first, second = self.component.part.pins
        if first in self.nodes and second in self.nodes:
            yield self.coupled(law, ((first, second),), parameters, material)

    def coupled(
        self, law: str, windings: tuple[tuple[str, str], ...], parameters: tuple[Parameter, ...], material: str = ""
    ) -> Element:
        """An element between one pair of pins or more, such as coupled windings."""
        pairs = tuple((self.nodes[start], self.nodes[end]) for start, end in windings)
        return Element(self.component.subject.strip, self.component.ref, law, pairs, parameters, material)


RadioLaw = Callable[[RadioPart], Iterator[Element]]
"""The elements of a part in every state of the board."""
