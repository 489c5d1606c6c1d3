"""Walks over a netlist in one selection state: which nets are joined for the signal, and which at DC."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import cached_property

from boardgen.kinds import kind_of
from boardgen.model.netlist import Component, Netlist
from boardgen.model.selection import SelectionState

STOPS = frozenset({"0V", "earth"})
Edge = tuple[str, str]


class Walk:
    """The netlist with some relays operated and all others at rest. Only fitted parts count."""

    def __init__(self, netlist: Netlist, operated: SelectionState) -> None:
        self.netlist = netlist
        self.operated = operated

    @cached_property
    def contacts(self) -> tuple[Edge, ...]:
        """Pairs of nets that closed contacts join in this state."""
        pairs = []
        for contact in self.netlist.contacts:
            if self.netlist.component[contact.ref].fitted:
                throw = contact.opened if contact.ref in self.operated else contact.closed
                if throw:
                    pairs.append((contact.common, throw))
        return tuple(pairs)

    @cached_property
    def signal(self) -> tuple[Edge, ...]:
        """Contacts, blocking capacitors, and transformers from start to start and end to end."""
        return (*self.contacts, *self._edges(lambda c: kind_of(c.part).paths.signal(c)))

    @cached_property
    def low_resistance(self) -> tuple[Edge, ...]:
        """What a direct current passes almost freely: contacts, windings, chokes, links, fuses."""
        return (*self.contacts, *self._edges(lambda c: kind_of(c.part).paths.low_resistance))

    @cached_property
    def any_resistance(self) -> tuple[Edge, ...]:
        """What carries static charge away: the same, and resistors, coils and diodes."""
        return (*self.low_resistance, *self._edges(lambda c: kind_of(c.part).paths.resistive))

    def _edges(self, pairs: Callable[[Component], Iterable[tuple[str, str]]]) -> Iterator[Edge]:
        for component in self.netlist.components:
            if component.fitted:
                pin_nets = self.netlist.pin_nets[component.ref]
                for one, other in pairs(component):
                    if one in pin_nets and other in pin_nets:
                        yield pin_nets[one], pin_nets[other]


def reached(edges: Iterable[Edge], start: str, stops: frozenset[str] = frozenset()) -> set[str]:
    """All nets joined to a net by edges; a stop is reached but not passed."""
    beside: dict[str, list[str]] = {}
    for one, other in edges:
        beside.setdefault(one, []).append(other)
        beside.setdefault(other, []).append(one)
    seen, waiting = {start}, [start]
    while waiting:
        net = waiting.pop()
        if net in stops:
            continue
        for other in beside.get(net, ()):
            if other not in seen:
                seen.add(other)
                waiting.append(other)
    return seen
