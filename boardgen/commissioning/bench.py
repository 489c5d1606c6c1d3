"""The board on the bench as a direct-current network, in any state, whole or with a fault."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property

from msgspec import Struct

from boardgen.direct_current.elements import Element, Resistor
from boardgen.direct_current.network import Network
from boardgen.kinds import kind_of
from boardgen.kinds.direct_current import JOINT_OHM, DirectPart, Grade, Warmth
from boardgen.kinds.kind import NOT_SAID, Without
from boardgen.model.choices import Choices
from boardgen.model.netlist import Component, Netlist
from boardgen.model.problem import Place, Problem
from boardgen.model.selection import ControlLine, SelectionState
from boardgen.request import Request

Conductance = Mapping[tuple[str, str], float]
"""Siemens between two nets, by their names in order."""


class Bench(Struct, frozen=True, dict=True):
    """A board with what was chosen for it."""

    request: Request
    choices: Choices
    netlist: Netlist

    @cached_property
    def relays(self) -> dict[str, tuple[str, ...]]:
        """Designators of the relays that each fitted antenna's choice operates; none where one is through at rest."""
        chosen = {antenna: self.netlist.select(antenna).operated for antenna in self.netlist.antennas}
        return {a: tuple(c.ref for c in self.fitted if c.ref in operated) for a, operated in chosen.items()}

    @cached_property
    def fitted(self) -> tuple[Component, ...]:
        """The parts that are there."""
        return tuple(c for c in self.netlist.components if c.fitted)

    def lines_of(self, strip: str) -> tuple[ControlLine, ...]:
        """The control lines that work relays of that strip, its antenna's own first."""
        fitted = {c.ref for c in self.fitted}
        own = (line for line in self.netlist.control_lines if line.strip == strip and fitted.intersection(line.relays))
        return tuple(sorted(own, key=lambda line: not line.selects))

    def network(
        self,
        operated: SelectionState,
        grade: Grade = "middle",
        more: Sequence[Element] = (),
        only: frozenset[str] | None = None,
        warmth: Warmth | None = None,
    ) -> Network:
        """The board with those relays pulled in, and what is joined to it from outside.

        With `only`, those antennas and the terminal at which 0V is touched stand in full, and all others, idle, as what
        they leave between the nets that all share; their diodes, which then bear no voltage, are left out. With
        `warmth`, diodes have their junction's law.
        """
        zero = self.pin_of("0V")
        kept = [
            c
            for c in self.fitted
            if only is None or c.subject.strip in (*only, *self.always) or (zero and c.ref == zero[0])
        ]
        found: list[Element] = []
        for component in kept:
            found += self._elements(component, grade, component.ref in operated, warmth)
        if only is not None:
            found += self._others(grade, only)
        nets = {net: None for c in kept for net in self.netlist.pin_nets[c.ref].values()}
        return Network((*found, *more), "0V", tuple(nets))

    def of_part(
        self,
        component: Component,
        grade: Grade = "middle",
        operated: bool = False,
        warmth: Warmth | None = None,
        pin_nets: Mapping[str, str] | None = None,
    ) -> Iterator[Element]:
        """What a part is to direct current; nothing where none passes, or where it is touched from outside.

        `pin_nets` are other nets at its pins than those of the netlist.
        """
        law = kind_of(component.part).direct_current
        if not isinstance(law, Without):
            nodes = self.netlist.pin_nets[component.ref] if pin_nets is None else pin_nets
            yield from law(DirectPart(component.ref, component, nodes, grade, operated, self.choices, warmth))

    def _elements(self, component: Component, grade: Grade, operated: bool, warmth: Warmth | None) -> Iterator[Element]:
        if kind_of(component.part).outside:
            for role, net in self.netlist.pin_nets[component.ref].items():
                node = pin_node(component.ref, role)
                yield Resistor(f"{node} joint", node, net, JOINT_OHM)
        yield from self.of_part(component, grade, operated, warmth)

    @property
    def always(self) -> tuple[str, str]:
        """What stands in full in every network: the board's own parts, and the output's."""
        return ("", self.request.output.label)

    @cached_property
    def shared(self) -> frozenset[str]:
        """Nets that parts of more than one port, or of the board, are joined to."""
        owners: dict[str, set[str]] = {}
        for component in self.fitted:
            for net in self.netlist.pin_nets[component.ref].values():
                owners.setdefault(net, set()).add(component.subject.strip)
        return frozenset(net for net, found in owners.items() if len(found) > 1)

    @cached_property
    def _idle(self) -> dict[tuple[str, Grade], Conductance]:
        return {}

    def _others(self, grade: Grade, only: frozenset[str]) -> tuple[Resistor, ...]:
        found = []
        for strip in self.relays:
            if strip not in only:
                if (strip, grade) not in self._idle:
                    inside = (c for c in self.fitted if c.subject.strip == strip)
                    some = (e for c in inside for e in self.of_part(c, grade))
                    self._idle[strip, grade] = seen_from((e for e in some if isinstance(e, Resistor)), self.shared)
                found.append(self._idle[strip, grade])
        return together(found)

    def pin_of(self, net: str, strip: str = "") -> tuple[str, str] | None:
        """Designator and pin of a control terminal, stud or jack on that net, one of that strip first."""
        found = [
            (c.subject.strip != strip, c.ref, role)
            for c in self.fitted
            if kind_of(c.part).outside == "line"
            for role, joined in self.netlist.pin_nets[c.ref].items()
            if joined == net
        ]
        if not found:
            return None
        _, ref, role = min(found, key=lambda one: one[0])
        return ref, role


def pin_node(ref: str, role: str) -> str:
    """The point at which a person touches that pin: before its joint with the board."""
    return f"@{ref} {role}"


def unmetered(bench: Bench) -> Iterator[Problem]:
    """A fault for every fitted part that no reading notices, unless its kind says why it passes no direct current."""
    for component in bench.fitted:
        kind = kind_of(component.part)
        law = kind.direct_current
        nets = set(bench.netlist.pin_nets[component.ref].values())
        found = any(bench.of_part(component)) or len(nets) < 2
        if law is NOT_SAID or not (isinstance(law, Without) or found):
            wanted = f"wanted is a law for direct current in boardgen/kinds, or why a {kind.name} has none"
            text = f"no reading knows of {component.ref}, a {kind.name}"
            yield Problem("C013 metered", "shortfall", Place(key=component.ref), text, wanted)


def seen_from(resistors: Iterable[Resistor], shared: frozenset[str]) -> Conductance:
    """Conductances between the shared nets that stand for these resistors; what no shared net reaches is left out.

    Source: reduction of a network to some of its nodes by Kron's formula, Y_ss - Y_si Y_ii^-1 Y_is (recalled).
    """
    import numpy as np

    real = [r for r in resistors if 0 < r.ohm < math.inf]
    reached = _reached(real, shared)
    ends = dict.fromkeys(end for r in real for end in r.ends if end in reached)
    kept = [end for end in ends if end in shared]
    place = {end: n for n, end in enumerate([*kept, *(end for end in ends if end not in shared)])}
    matrix = np.zeros((len(place), len(place)))
    for r in real:
        if r.a in place and r.b in place:
            a, b, siemens = place[r.a], place[r.b], 1 / r.ohm
            matrix[a, a] += siemens
            matrix[b, b] += siemens
            matrix[a, b] -= siemens
            matrix[b, a] -= siemens
    n = len(kept)
    if len(place) > n:
        matrix = matrix[:n, :n] - matrix[:n, n:] @ np.linalg.solve(matrix[n:, n:], matrix[n:, :n])
    return {
        (min(one, other), max(one, other)): float(-matrix[a, b])
        for a, one in enumerate(kept)
        for b, other in enumerate(kept[:a])
        if matrix[a, b] < 0
    }


def _reached(resistors: list[Resistor], shared: frozenset[str]) -> set[str]:
    """Every net that a path leads to from a shared one."""
    beside: dict[str, list[str]] = {}
    for r in resistors:
        beside.setdefault(r.a, []).append(r.b)
        beside.setdefault(r.b, []).append(r.a)
    found, waiting = set(), [net for net in beside if net in shared]
    while waiting:
        net = waiting.pop()
        if net not in found:
            found.add(net)
            waiting += beside[net]
    return found


def together(some: Iterable[Conductance]) -> tuple[Resistor, ...]:
    """All of them in parallel, a resistor for each pair of nets."""
    total: dict[tuple[str, str], float] = {}
    for one in some:
        for pair, siemens in one.items():
            total[pair] = total.get(pair, 0.0) + siemens
    return tuple(Resistor(f"others {a} {b}", a, b, 1 / siemens) for (a, b), siemens in sorted(total.items()))
