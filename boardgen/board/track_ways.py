"""The tracks from an antenna's port to the output as they are laid: how long and how wide they are.

Algorithm: either conductor's way through contacts, capacitors and windings is the one with the fewest parts (breadth
first). In each net on it the way from the pin where it enters to the pin where it leaves is that of least resistance
along the tracks (E. W. Dijkstra, 1959, recalled); copper in parallel with it is left out.
Cost: the ends of a net against its tracks as one array, then O(n log n) in those few dozen, for each antenna.
"""

from __future__ import annotations

import heapq
import math
from collections import deque
from collections.abc import Iterator, Mapping
from functools import cached_property
from itertools import pairwise

import numpy as np
from msgspec import Struct

from boardgen.handbook.wire import resistance_ohm_per_m
from boardgen.kinds import kind_of
from boardgen.model.copper import SIDES, Board, PlacedPad, PointNm, Track
from boardgen.model.netlist import CONDUCTORS, Conductor, Netlist, Node
from boardgen.sizing.rules import COPPER_M

Place = tuple[str, int, int]
"""A side of the board, and a point on it in nanometres."""
Step = tuple[Place, float, float]
"""The next place, and the length and width of the track to it in metres; a hole has no length."""
Graph = Mapping[Place, list[Step]]
"""The steps from each place on a net's copper."""
Hop = tuple[Node, Node]
"""Two pins of a part between which the signal passes it."""


class TrackWay(Struct, frozen=True):
    """Length of the tracks on a way by their width, both in metres."""

    length_by_width_m: Mapping[float, float]

    @property
    def length_m(self) -> float:
        """Of all of them."""
        return sum(self.length_by_width_m.values())

    @property
    def ohm(self) -> float:
        """Resistance to direct current at 20 degC."""
        return sum(
            length_m * resistance_ohm_per_m(width_m * COPPER_M) for width_m, length_m in self.length_by_width_m.items()
        )


class Tracks(Struct, frozen=True, dict=True):
    """The tracks of a board as ways of its signals."""

    board: Board
    netlist: Netlist

    def to_output(self, strip: str) -> TrackWay:
        """The tracks of centre and braid together, from an antenna's port to the output's while it is selected."""
        lengths: dict[float, float] = {}
        for conductor in CONDUCTORS:
            for _, steps in self.steps(strip, conductor):
                for _, length_m, width_m in steps:
                    if length_m:
                        lengths[width_m] = lengths.get(width_m, 0.0) + length_m
        return TrackWay(lengths)

    def steps(self, strip: str, conductor: Conductor) -> Iterator[tuple[str, list[Step]]]:
        """Each net on the way of one conductor, from the antenna's port to the output's, with the steps within it."""
        start, goal = (next(p for p in self.netlist.ports if p.strip == name) for name in (strip, "output"))
        first, last = getattr(start, conductor), getattr(goal, conductor)
        here = self._pin(start.ref, first)
        for leave, enter in _fewest(self._hops(strip), self._net, first, last):
            yield self._net[leave], self._within(self._net[leave], here, leave)
            here = enter
        yield last, self._within(last, here, self._pin(goal.ref, last))

    def _hops(self, strip: str) -> list[Hop]:
        """What the signal passes from pin to pin while that antenna is selected."""
        operated = self.netlist.select(strip).operated
        pins = {(node.ref, node.role): node for net in self.netlist.nets for node in net.nodes}
        roles = [
            (c.ref, f"pole {c.pole} common", f"pole {c.pole} normally {'open' if c.ref in operated else 'closed'}")
            for c in self.netlist.contacts
        ]
        roles += [(c.ref, *pair) for c in self.netlist.components for pair in kind_of(c.part).paths.signal(c)]
        fitted = {c.ref for c in self.netlist.components if c.fitted}
        ends = [(pins.get((ref, a)), pins.get((ref, b))) for ref, a, b in roles if ref in fitted]
        return [(one, other) for one, other in ends if one and other]

    @cached_property
    def _net(self) -> dict[Node, str]:
        return {node: net.name for net in self.netlist.nets for node in net.nodes}

    def _pin(self, ref: str, net: str) -> Node:
        return next(node for node, name in self._net.items() if node.ref == ref and name == net)

    @cached_property
    def _pads(self) -> dict[tuple[str, str], PlacedPad]:
        return {(pad.ref, pad.number): pad for pad in self.board.pads}

    @cached_property
    def _graphs(self) -> dict[str, Graph]:
        return {}

    def _within(self, net: str, one: Node, other: Node) -> list[Step]:
        """The way of least resistance between two pins of a net; empty where no track joins them."""
        if net not in self._graphs:
            self._graphs[net] = _graph(self.board, net)
        start, goal = (self._pads.get((pin.ref, pin.pad)) for pin in (one, other))
        if start is None or goal is None:
            return []
        return _least(self._graphs[net], ("top", *start.at), ("top", *goal.at))


def _fewest(hops: list[Hop], net: Mapping[Node, str], start: str, goal: str) -> list[Hop]:
    """The hops that lead from one net to another through the fewest parts; empty where none do."""
    beside: dict[str, list[Hop]] = {}
    for one, other in hops:
        beside.setdefault(net[one], []).append((one, other))
        beside.setdefault(net[other], []).append((other, one))
    came: dict[str, Hop | None] = {start: None}
    waiting = deque([start])
    while waiting and goal not in came:
        for hop in beside.get(waiting.popleft(), ()):
            if net[hop[1]] not in came:
                came[net[hop[1]]] = hop
                waiting.append(net[hop[1]])
    found: list[Hop] = []
    at = came.get(goal)
    while at is not None:
        found.append(at)
        at = came[net[at[0]]]
    return found[::-1]


def _graph(board: Board, net: str) -> Graph:
    """Tracks of a net cut at every pad, via and end of another track that lies on them."""
    graph: dict[Place, list[Step]] = {}

    def join(one: Place, other: Place, length_m: float, width_m: float) -> None:
        graph.setdefault(one, []).append((other, length_m, width_m))
        graph.setdefault(other, []).append((one, length_m, width_m))

    tracks = [t for t in board.tracks if t.net == net]
    # of a pad the smaller half of its size is surely copper
    holes = [(p.at, min(p.width_nm, p.height_nm) / 2) for p in board.pads if p.net == net]
    holes += [(v.at, v.pad_nm / 2) for v in board.vias if v.net == net]
    for at, _ in holes:
        join(("top", *at), ("bottom", *at), 0.0, 1.0)
    for side in SIDES:
        own = [t for t in tracks if t.side == side]
        points = [(end, 0.0) for t in own for end in (t.start, t.end)] + holes
        for track, (along, apart) in zip(own, _projected(own, [at for at, _ in points]), strict=True):
            length_m, width_m = math.dist(track.start, track.end) * 1e-9, track.width_nm * 1e-9
            on_it = sorted(
                (share, at)
                for (at, reach), share, gap in zip(points, along, apart, strict=True)
                if gap <= reach + track.width_nm / 2
            )
            for (low, one), (high, other) in pairwise(on_it):
                join((side, *one), (side, *other), (high - low) * length_m, width_m)
    return graph


def _projected(tracks: list[Track], points: list[PointNm]) -> Iterator[tuple[list[float], list[float]]]:
    """For each track where along it, from 0 to 1, every point lies, and how far from its middle line in nanometres."""
    if not tracks:
        return
    at = np.array(points, float)[None]
    start, end = (np.array([getattr(t, name) for t in tracks], float)[:, None] for name in ("start", "end"))
    span = end - start
    share = np.clip(((at - start) * span).sum(2) / np.maximum((span**2).sum(2), 1.0), 0.0, 1.0)
    apart = np.hypot(*np.moveaxis(at - start - share[:, :, None] * span, 2, 0))
    yield from zip(share.tolist(), apart.tolist(), strict=True)


def _least(graph: Graph, start: Place, goal: Place) -> list[Step]:
    """The steps of least resistance, which is length over width; empty where none lead there."""
    waiting: list[tuple[float, Place, tuple[Place, Step] | None]] = [(0.0, start, None)]
    came: dict[Place, tuple[Place, Step] | None] = {}
    while waiting and goal not in came:
        squares, here, before = heapq.heappop(waiting)
        if here not in came:
            came[here] = before
            for step in graph.get(here, ()):
                place, length_m, width_m = step
                if place not in came:
                    heapq.heappush(waiting, (squares + length_m / width_m, place, (here, step)))
    found: list[Step] = []
    at = came.get(goal)
    while at is not None:
        found.append(at[1])
        at = came[at[0]]
    return found
