"""A grid of places where a track may run, kept by class of track and by side, and the search through it."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from functools import lru_cache
from heapq import heapify, heappop, heappush
from typing import NamedTuple

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

GRID_MM = 0.635
VIA_LAND_MM = 1.0
VIA_HOLE_MM = 0.5
FREE, SHUT = 0, -1
"""A place holds one bit for each net that keeps the others away from it; all bits where nobody may pass."""
MOST_NETS = 62
"""So many nets of one cell have a bit."""
STEP, DIAGONAL, HOP, TURN, OFF_SIDE = 10, 14, 70, (0, 4, 9), 3
"""Costs: a step, a slanting step, a via, a bend by eighths; on the wrong side a step costs half as often again."""
FAR = 1 << 30
LONG = 60
"""After so many steps a search makes sure that there is a way at all."""
GREED = 1.15
"""How much the search trusts the straight way to the goal; above 1 it is faster and now and then not the shortest."""
MOVES = ((1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1), (0, -1), (1, -1))
"""Column and row steps of the eight directions, anticlockwise from the right; rows count downwards."""


class Class(Struct, frozen=True):
    """A class of tracks: half the width and the clearance to other nets, in millimetres."""

    half_mm: float
    clear_mm: float


class Hole(Class, frozen=True):
    """A class of vias: half the land and the clearance to other nets, in millimetres."""


VIA = Hole(VIA_LAND_MM / 2, 0.28)


class Capsule(NamedTuple):
    """A round-ended bar in millimetres about a place; a disc where both ends are one."""

    x1: float
    y1: float
    x2: float
    y2: float
    radius: float


class Bar(NamedTuple):
    """A rectangle in millimetres about a place: centre and half sides."""

    x: float
    y: float
    half_x: float
    half_y: float


Solid = Capsule | Bar
Place = tuple[int, int]
"""Column and row."""
Node = int
Step = tuple[int, int, int]
"""Side (0 top, 1 bottom), row, column."""


class Maze:
    """Rows run down from the top edge, columns from the left; node 0, 0 lies in the upper left corner."""

    def __init__(self, columns: int, rows: int, classes: Iterable[Class]) -> None:
        self.columns, self.rows = columns, rows
        # a border that is always shut spares the search its edge tests
        self.wide = columns + 2
        self.plane = self.wide * (rows + 2)
        # a via is wider than the track that leads to it, and needs the same clearance
        self.hole = {kind: Hole(VIA.half_mm, max(VIA.clear_mm, kind.clear_mm)) for kind in classes}
        holes = sorted({*self.hole.values(), VIA}, key=lambda kind: kind.clear_mm)
        self.kinds: tuple[Class, ...] = (*self.hole, *holes)
        self.reaches: dict[float, tuple[float, ...]] = {}
        """How far each class keeps off, by the clearance of what it keeps off from."""
        self.ways = {dy * self.wide + dx: way for way, (dx, dy) in enumerate(MOVES)}
        """Directions by the difference of two neighbours' numbers."""
        self.places = np.full((len(self.kinds), 2, rows + 2, self.wide), SHUT, np.int64)
        self.owner = dict(zip(self.kinds, self.places, strict=True))
        for kind, grid in self.owner.items():
            # vias keep off the fence: the next strip may have a via of its own there
            inset = 3 if isinstance(kind, Hole) else 1
            grid[:, 1:-1, inset:-inset] = FREE

    def node(self, step: Step) -> Node:
        """The number of a place."""
        return step[0] * self.plane + (step[1] + 1) * self.wide + step[2] + 1

    def step(self, node: Node) -> Step:
        """The place of a number."""
        side, rest = divmod(node, self.plane)
        row, column = divmod(rest, self.wide)
        return side, row - 1, column - 1

    def block(self, sides: Sequence[int], solid: Solid, net: int, clear_mm: float, at: Place = (0, 0)) -> None:
        """Keeps all other nets away from a piece of copper about a place; every net where `net` is SHUT."""
        reaches = self.reaches.get(clear_mm)
        if reaches is None:
            reaches = tuple(kind.half_mm + max(kind.clear_mm, clear_mm) for kind in self.kinds)
            self.reaches[clear_mm] = reaches
        self._shut(self.places[:, sides[0] : sides[-1] + 1], solid, at, reaches, _bit(net))

    def block_via(self, solid: Solid, reach_mm: float, at: Place) -> None:
        """Keeps every via so far from a hole about a place, whatever its net."""
        self._shut(self.places[len(self.hole) :], solid, at, (reach_mm,), SHUT)

    def shut_rows(self, rows: Iterable[int]) -> None:
        """No track runs along these rows or so near that it reaches over them, and no via stands beside them.

        The pour of the next cell comes near.
        """
        for kind, grid in self.owner.items():
            for row in rows:
                if isinstance(kind, Hole):
                    grid[:, max(row, 1) : row + 3, 1:-1] = SHUT
                else:
                    deep = self.deep(kind)
                    grid[:, max(row + 2 - deep, 1) : row + 1 + deep, 1:-1] = SHUT

    def deep(self, kind: Class) -> int:
        """So many rows, the edge among them, in which the middle of a track would be too near to the next cell."""
        return math.ceil((kind.half_mm + VIA.clear_mm) / GRID_MM - 1e-6)

    def open(self, kind: Class, step: Step, net: int) -> None:
        """Gives one place to a net."""
        self.owner[kind][step[0], step[1] + 1, step[2] + 1] = _bit(net)

    def _shut(self, places: NDArray[np.int64], solid: Solid, at: Place, reaches: tuple[float, ...], bit: int) -> None:
        """Adds a net's bit to the places too near a solid; a reach for each class, or one for all."""
        left, top, near = _stencil(solid, reaches)
        # places of the border count as well: they are shut already
        x, y = at[0] + left + 1, at[1] + top + 1
        high, wide = near.shape[2:]
        if x < 0 or y < 0 or x + wide > self.wide or y + high > self.rows + 2:
            near = near[:, :, max(-y, 0) : max(self.rows + 2 - y, 0), max(-x, 0) : max(self.wide - x, 0)]
            x, y = max(x, 0), max(y, 0)
            high, wide = near.shape[2:]
        window = places[:, :, y : y + high, x : x + wide]
        window |= near & bit

    def search(  # noqa: C901 - one loop, kept whole for speed
        self,
        kind: Class,
        net: int,
        sources: Collection[Node],
        goals: Mapping[Node, frozenset[int]],
        side: int,
        tries: int = 60_000,
    ) -> list[Node] | None:
        """The cheapest path from any source to any goal, or None.

        `goals` holds for each goal the directions in which copper leaves it already; a path may not come in at less
        than a right angle to any of them. `side` is the one that the track should keep to.
        """
        free, hole = self._open(kind, net)
        open_here, both = free.tobytes(), hole.tobytes() * 2
        plane = self.plane
        rest = self._rest(goals)
        moves = (_moves(self.wide, side == 0), _moves(self.wide, side == 1))
        # open places that are not settled yet
        wanted = bytearray(open_here)
        best = [FAR] * (2 * plane)
        came: dict[Node, Node] = {}
        heap: list[tuple[int, int, Node, int]] = []
        for node in sources:
            if open_here[node]:
                best[node] = 0
                heap.append((rest[node], 0, node, -1))
        heapify(heap)
        doubt = tries - LONG
        while heap and tries:
            tries -= 1
            if tries == doubt:
                ends = self._bits_of(goals)
                if not ends & self._spread(free, hole, sources, ends):
                    return None
            _, spent, node, way = heappop(heap)
            if not wanted[node]:
                continue
            leaving = goals.get(node)
            if leaving is not None:
                back = (way + 4) % 8
                if way < 0 or all(_apart(back, other) >= 2 for other in leaving):
                    return _path(came, node)
                best[node] = FAR
                continue
            wanted[node] = 0
            for turn, offset, across, cost in moves[node >= plane][way]:
                after = node + offset
                if not wanted[after]:
                    continue
                # a slanting step comes nearer to what lies at the corners beside it than to its ends
                if across and not (open_here[node + across] and open_here[after - across]):
                    continue
                total = spent + cost
                if total < best[after]:
                    best[after] = total
                    came[after] = node
                    heappush(heap, (total + rest[after], total, after, turn))
            if both[node] and node in came:
                under = node + plane if node < plane else node - plane
                total = spent + HOP
                if wanted[under] and total < best[under] and not self._just_hopped(came, node):
                    best[under] = total
                    came[under] = node
                    heappush(heap, (total + rest[under], total, under, -1))
        return None

    def _just_hopped(self, came: Mapping[Node, Node], node: Node) -> bool:
        """Whether the path to a place changed sides right beside it: two holes would meet."""
        back = came[node]
        for _ in range(2):
            before = came.get(back)
            if before is None:
                return False
            if abs(before - back) == self.plane:
                return node - back in self.ways
            back = before
        return False

    def leads_to_all(self, kind: Class, net: int, groups: Iterable[Collection[Node]]) -> bool:
        """Whether free places lead from the first of some groups to all the others."""
        first, *others = groups
        spread = self._spread(*self._open(kind, net), first)
        return all(self._bits_of(group) & spread for group in others)

    def _open(self, kind: Class, net: int) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
        """The places of either side where a track of a net may run, and those where it may change sides."""
        others = ~_bit(net)
        holes = self.owner[self.hole[kind]]
        return (self.owner[kind] & others) == FREE, ((holes[0] | holes[1]) & others) == FREE

    def _spread(
        self, open_here: NDArray[np.bool_], hole: NDArray[np.bool_], sources: Collection[Node], until: int = 0
    ) -> int:
        """The places to which ways lead from some, as bits; all, or as many as it takes to meet `until`.

        No slanting step leads where level and upright ones do not, since the corners beside it must be open as well.
        """
        wide, plane = self.wide, self.plane
        free, holes = _bits(open_here), _bits(hole)
        holes |= holes << plane
        reached, grown = 0, self._bits_of(sources) & free
        while grown != reached and not grown & until:
            reached = grown
            through = reached & holes
            near = reached << 1 | reached >> 1 | reached << wide | reached >> wide
            grown = (reached | near | through << plane | through >> plane) & free
        return grown

    def _bits_of(self, nodes: Collection[Node]) -> int:
        places = np.zeros(2 * self.plane, bool)
        places[list(nodes)] = True
        return _bits(places)

    def _rest(self, goals: Iterable[Node]) -> memoryview:
        """At least what it still costs from each place to the box about these places of either side."""
        places = [node % self.plane for node in goals]
        columns = [place % self.wide for place in places]
        sides = min(columns), max(columns), min(places) // self.wide, max(places) // self.wide
        return _costs(self.wide, self.plane // self.wide, *sides)

    def copy(self) -> Maze:
        """The same places, to be changed apart."""
        twin = Maze.__new__(Maze)
        twin.columns, twin.rows, twin.wide, twin.plane = self.columns, self.rows, self.wide, self.plane
        twin.hole, twin.kinds, twin.reaches, twin.ways = self.hole, self.kinds, self.reaches, self.ways
        twin.places = self.places.copy()
        twin.owner = dict(zip(twin.kinds, twin.places, strict=True))
        return twin


@lru_cache(maxsize=1024)
def _costs(wide: int, high: int, left: int, right: int, top: int, foot: int) -> memoryview:
    """At least what it costs from each place of either side to a box, its edges included."""
    row, column = np.arange(high)[:, None], np.arange(wide)
    dx = np.maximum(np.maximum(left - column, column - right), 0)
    dy = np.maximum(np.maximum(top - row, row - foot), 0)
    cost = STEP * np.maximum(dx, dy) + (DIAGONAL - STEP) * np.minimum(dx, dy)
    one = (cost * GREED).astype(np.int64).ravel()
    # few of them are looked at
    return memoryview(np.concatenate([one, one]).tobytes()).cast("q")


def _path(came: Mapping[Node, Node], node: Node) -> list[Node]:
    path = [node]
    while node in came:
        node = came[node]
        path.append(node)
    return path[::-1]


def _apart(one: int, other: int) -> int:
    """Eighths of a turn between two directions."""
    turn = (one - other) % 8
    return min(turn, 8 - turn)


@lru_cache(maxsize=256)
def _moves(wide: int, own_side: bool) -> tuple[tuple[tuple[int, int, int, int], ...], ...]:
    """For each way of coming in, -1 the last, what may follow: turn, step, step across of a slanting one, cost."""
    found = []
    for way in (*range(8), -1):
        moves = []
        for turn, (dx, dy) in enumerate(MOVES):
            apart = _apart(way, turn) if way >= 0 else 0
            if apart <= 2:
                length = DIAGONAL if turn % 2 else STEP
                cost = (length if own_side else length * OFF_SIDE // 2) + TURN[apart]
                moves.append((turn, dy * wide + dx, dx if turn % 2 else 0, cost))
        found.append(tuple(moves))
    return tuple(found)


def _bits(places: NDArray[np.bool_]) -> int:
    """Places as the bits of a number, by their numbers."""
    return int.from_bytes(np.packbits(places, bitorder="little").tobytes(), "little")


def _bit(net: int) -> int:
    return SHUT if net == SHUT else 1 << (net - 1)


@lru_cache(maxsize=16384)
def _stencil(solid: Solid, reaches: tuple[float, ...]) -> tuple[int, int, NDArray[np.int64]]:
    """First column and row, and for each reach all bits at the places from there on that are nearer to the solid."""
    left, low, right, high = _core(solid)
    if isinstance(solid, Capsule):
        reaches = tuple(reach + solid.radius for reach in reaches)
    reach = max(reaches)
    first, last = math.ceil((left - reach) / GRID_MM), math.floor((right + reach) / GRID_MM)
    top, foot = math.ceil((-high - reach) / GRID_MM), math.floor((-low + reach) / GRID_MM)
    x = np.arange(first, last + 1, dtype=np.float64) * GRID_MM
    y = -np.arange(top, foot + 1, dtype=np.float64)[:, None] * GRID_MM
    limits = (np.array(reaches)[:, None, None, None] - 1e-6) ** 2
    return first, top, np.where(_square_distance(solid, x, y) < limits, SHUT, FREE)


def _square_distance(solid: Solid, x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.float64]:
    left, low, right, high = _core(solid)
    if isinstance(solid, Bar) or left == right or low == high:
        dx, dy = np.maximum(np.maximum(left - x, x - right), 0), np.maximum(np.maximum(low - y, y - high), 0)
        return np.asarray(dx * dx + dy * dy)
    long_x, long_y = solid.x2 - solid.x1, solid.y2 - solid.y1
    along = ((x - solid.x1) * long_x + (y - solid.y1) * long_y) / (long_x * long_x + long_y * long_y)
    along = np.minimum(np.maximum(along, 0), 1)
    return np.asarray((x - solid.x1 - along * long_x) ** 2 + (y - solid.y1 - along * long_y) ** 2)


def _core(solid: Solid) -> tuple[float, float, float, float]:
    """Left, low, right and high of a solid without its radius."""
    if isinstance(solid, Bar):
        return solid.x - solid.half_x, solid.y - solid.half_y, solid.x + solid.half_x, solid.y + solid.half_y
    return min(solid.x1, solid.x2), min(solid.y1, solid.y2), max(solid.x1, solid.x2), max(solid.y1, solid.y2)
