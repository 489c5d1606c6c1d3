"""The board on the bench as a direct-current network, in any state, whole or with a fault."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from boardgen.commissioning.parts import JOINT_OHM, Grade, elements
from boardgen.direct_current.elements import Element, Resistor
from boardgen.direct_current.network import Network
from boardgen.model.choices import Choices
from boardgen.model.netlist import Component, Netlist
from boardgen.sizing.request import Request

REACHED = ("connector", "terminal", "stud", "jack")
"""Parts whose pins a person touches from outside."""


@dataclass(frozen=True)
class Bench:
    """A board with what was chosen for it."""

    request: Request
    choices: Choices
    netlist: Netlist

    @cached_property
    def relays(self) -> dict[str, tuple[str, ...]]:
        """Designators of the relays of each fitted antenna."""
        found: dict[str, tuple[str, ...]] = {}
        for component in self.netlist.of_kind("relay"):
            if component.fitted:
                found[component.subject.strip] = (*found.get(component.subject.strip, ()), component.ref)
        return found

    @cached_property
    def fitted(self) -> tuple[Component, ...]:
        """The parts that are there."""
        return tuple(c for c in self.netlist.components if c.fitted)

    def operated_by(self, selected: str | None) -> frozenset[str]:
        """Relays that pull in when all is well."""
        return frozenset(self.relays[selected]) if selected else frozenset()

    def network(self, operated: frozenset[str], grade: Grade = "middle", more: Sequence[Element] = ()) -> Network:
        """The board with those relays pulled in, and what is joined to it from outside."""
        found: list[Element] = []
        for component in self.fitted:
            joins = self.netlist.joins[component.ref]
            if component.part.kind in REACHED:
                found += [
                    Resistor(f"{pin_node(component.ref, role)} joint", pin_node(component.ref, role), net, JOINT_OHM)
                    for role, net in joins.items()
                ]
            else:
                found += elements(component, joins, self.choices, grade, component.ref in operated)
        return Network((*found, *more), "0V", tuple(net.name for net in self.netlist.nets))

    def pin_of(self, net: str, strip: str = "") -> tuple[str, str] | None:
        """Designator and pin of a control terminal, stud or jack on that net, one of that strip first."""
        found = [
            (c.subject.strip != strip, c.ref, role)
            for c in self.fitted
            if c.part.kind in ("terminal", "stud", "jack")
            for role, joined in self.netlist.joins[c.ref].items()
            if joined == net
        ]
        if not found:
            return None
        _, ref, role = min(found, key=lambda one: one[0])
        return ref, role


def pin_node(ref: str, role: str) -> str:
    """The point at which a person touches that pin: before its joint with the board."""
    return f"@{ref} {role}"
