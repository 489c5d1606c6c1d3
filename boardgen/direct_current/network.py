"""A network: its elements, checked, and which points hang together."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from boardgen.direct_current.elements import CurrentSource, Curve, Element, Resistor, VoltageSource


class NetworkError(ValueError):
    """The network means nothing. Carries every fault found, one sentence each."""

    def __init__(self, faults: tuple[str, ...]) -> None:
        self.faults = faults
        super().__init__("; ".join(faults))


@dataclass(frozen=True)
class Network:
    """Elements between named points. Potentials are told against `reference` wherever a path leads to it.

    `points` names points to know of although nothing may be joined to them. Raises NetworkError for an element
    that means nothing, for two of one name, for voltage sources in a ring, and for a current source between parts
    of the network that nothing else joins.
    """

    elements: tuple[Element, ...]
    reference: str = "0V"
    points: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        faults = tuple(self._faults())
        if faults:
            raise NetworkError(faults)

    @cached_property
    def element(self) -> dict[str, Element]:
        """Elements by name."""
        return {e.name: e for e in self.elements}

    @cached_property
    def nodes(self) -> tuple[str, ...]:
        """Every named point, the reference first, the others as they are met."""
        ends = (end for element in self.elements for end in element.ends)
        return tuple(dict.fromkeys((self.reference, *self.points, *ends)))

    @cached_property
    def joined(self) -> dict[str, str]:
        """Of every point, the first point that a path of no resistance leads to."""
        return _groups(self.nodes, (e.ends for e in self.elements if isinstance(e, Resistor) and e.ohm == 0))

    @cached_property
    def island(self) -> dict[str, str]:
        """Of every point, the first point that any path leads to; a current source is no path."""
        return _groups(self.nodes, (e.ends for e in self.elements if _is_path(e)))

    @cached_property
    def islands(self) -> tuple[tuple[str, ...], ...]:
        """The points that hang together, one group each; the group of the reference comes first."""
        found: dict[str, list[str]] = {}
        for node in self.nodes:
            found.setdefault(self.island[node], []).append(node)
        return tuple(tuple(group) for group in found.values())

    @property
    def floating(self) -> tuple[tuple[str, ...], ...]:
        """Groups of points that no path joins to the reference: only voltages within one of them mean anything."""
        return self.islands[1:]

    def changed(self, change: Sequence[Element]) -> Network:
        """The network with those elements in place of their namesakes, new ones at the end.

        Only what the change can have spoilt is checked again. Raises NetworkError as a new network does.
        """
        new = {e.name: e for e in change}
        elements = (*(new.pop(e.name, e) for e in self.elements), *new.values())
        if len({e.name for e in change}) < len(change) or not all(self._is_mild(e) for e in change):
            return Network(elements, self.reference, self.points)
        faults = tuple(fault for e in change for fault in _element_faults(e))
        if faults:
            raise NetworkError(faults)
        made = object.__new__(Network)
        for name, value in (("elements", elements), ("reference", self.reference), ("points", self.points)):
            object.__setattr__(made, name, value)
        if all(end in self.joined for e in change for end in e.ends):
            made.__dict__.update(nodes=self.nodes, joined=self.joined)
            if not any(self.may_part(e) for e in change):
                made.__dict__.update(island=self.island, islands=self.islands)
        return made

    def may_part(self, e: Element) -> bool:
        """Whether an element that is changed or added may take points apart, or bring islands together."""
        old = self.element.get(e.name)
        is_open = isinstance(e, Resistor) and math.isinf(e.ohm)
        return (old is not None and (is_open or old.ends != e.ends)) or self.island[e.ends[0]] != self.island[e.ends[1]]

    def _is_mild(self, e: Element) -> bool:
        """Whether a changed element closes no ring and joins no points, and no current source can be stranded."""
        old = self.element.get(e.name)
        plain = not any(isinstance(x, VoltageSource) or (isinstance(x, Resistor) and x.ohm == 0) for x in (e, old))
        return plain and not (self._has_currents or isinstance(e, CurrentSource))

    @cached_property
    def _has_currents(self) -> bool:
        return any(isinstance(e, CurrentSource) for e in self.elements)

    def _faults(self) -> Iterator[str]:
        names: set[str] = set()
        for element in self.elements:
            if element.name in names:
                yield f"two elements have the name {element.name}"
            names.add(element.name)
            yield from _element_faults(element)
        yield from self._rings()
        for element in self.elements:
            if isinstance(element, CurrentSource) and element.ampere != 0:
                a, b = element.ends
                if self.island[a] != self.island[b]:
                    yield f"the current of {element.name} has no way back from {b} to {a}"

    def _rings(self) -> Iterator[str]:
        tree = _Tree(self.nodes)
        for e in self.elements:
            if isinstance(e, Resistor) and e.ohm == 0:
                tree.join(*e.ends)
        for e in self.elements:
            if isinstance(e, VoltageSource) and not tree.join(*e.ends):
                yield f"{e.name} closes a ring of voltage sources, or is shorted"


def _element_faults(element: Element) -> Iterator[str]:
    match element:
        case Resistor(name=name, ohm=ohm):
            if math.isnan(ohm) or ohm < 0:
                yield f"{name} must be zero ohms or more, not {ohm}"
        case VoltageSource(name=name, volt=value) | CurrentSource(name=name, ampere=value):
            if not math.isfinite(value):
                yield f"{name} must be a finite number, not {value}"
        case Curve(name=name, points=points):
            flat = any(v2 <= v1 or i2 <= i1 for (v1, i1), (v2, i2) in pairwise(points))
            finite = all(math.isfinite(x) for point in points for x in point)
            if len(points) < 2 or flat or not finite:
                yield f"{name} needs two or more points whose volts and amperes both rise"


def _is_path(element: Element) -> bool:
    if isinstance(element, Resistor):
        return not math.isinf(element.ohm)
    return not isinstance(element, CurrentSource)


class _Tree:
    """Points joined step by step; the earliest point stands for each group."""

    def __init__(self, nodes: tuple[str, ...]) -> None:
        self.order = {node: n for n, node in enumerate(nodes)}
        self.above = {node: node for node in nodes}

    def top(self, node: str) -> str:
        while self.above[node] != node:
            self.above[node] = self.above[self.above[node]]
            node = self.above[node]
        return node

    def join(self, a: str, b: str) -> bool:
        """Whether they were apart before."""
        first, second = sorted((self.top(a), self.top(b)), key=self.order.__getitem__)
        self.above[second] = first
        return first != second


def _groups(nodes: tuple[str, ...], pairs: Iterator[tuple[str, str]]) -> dict[str, str]:
    tree = _Tree(nodes)
    for a, b in pairs:
        tree.join(a, b)
    return {node: tree.top(node) for node in nodes}
