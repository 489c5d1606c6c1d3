"""A network: its elements, checked, and which points hang together."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
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
        elements = list(self.elements)
        for name, e in new.items():
            if name in self._row:
                elements[self._row[name]] = e
            else:
                elements.append(e)
        if len(new) < len(change) or not all(self._is_mild(e) for e in change):
            return Network(tuple(elements), self.reference, self.points)
        faults = tuple(fault for e in change for fault in _element_faults(e))
        if faults:
            raise NetworkError(faults)
        made = object.__new__(Network)
        for name, value in (("elements", tuple(elements)), ("reference", self.reference), ("points", self.points)):
            object.__setattr__(made, name, value)
        made.__dict__["element"] = self.element | new
        if all(end in self.joined for e in change for end in e.ends):
            made.__dict__.update(nodes=self.nodes, joined=self.joined)
            if self._same_islands(new):
                made.__dict__.update(island=self.island, islands=self.islands)
        return made

    @cached_property
    def _row(self) -> dict[str, int]:
        return {e.name: n for n, e in enumerate(self.elements)}

    @cached_property
    def _neighbours(self) -> dict[str, list[tuple[str, str]]]:
        """The points that a path leads to from each point, with the name of the path."""
        found: dict[str, list[tuple[str, str]]] = {node: [] for node in self.nodes}
        for e in self.elements:
            if _is_path(e):
                a, b = e.ends
                found[a].append((b, e.name))
                found[b].append((a, e.name))
        return found

    def _same_islands(self, new: Mapping[str, Element]) -> bool:
        """Whether the same points hang together with these elements in the place of their namesakes."""
        paths = [e for e in new.values() if _is_path(e)]
        if any(self.island[e.ends[0]] != self.island[e.ends[1]] for e in paths):
            return False
        olds = [self.element[name] for name in new if name in self.element]
        broken = [e for e in olds if _is_path(e) and not (_is_path(new[e.name]) and new[e.name].ends == e.ends)]
        if not broken:
            return True
        return all(self._still_joined(*e.ends, {o.name for o in olds}, paths) for e in broken)

    def _still_joined(self, start: str, goal: str, without: set[str], paths: Sequence[Element]) -> bool:
        """Whether a way is left from one point to the other without those elements but with those paths."""
        seen, front = {start}, [start]
        while front:
            here = front.pop()
            onward = [node for node, name in self._neighbours[here] if name not in without]
            onward += [b if a == here else a for a, b in (e.ends for e in paths) if here in (a, b)]
            if goal in onward:
                return True
            front += [node for node in dict.fromkeys(onward) if node not in seen]
            seen.update(onward)
        return start == goal

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
