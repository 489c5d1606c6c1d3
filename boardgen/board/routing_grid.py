"""The routing grid of a cell and the search for a track's way through it.

Algorithm: A* (Hart, Nilsson and Raphael, 1968) with its heuristic weighted by 1.15 (weighted A*, Pohl 1970; both
recalled): faster, and now and then a way up to that much longer than the shortest. A place is one of two sides, a row
and a column; the way of coming in decides which bends may follow. The heuristic is the octile distance to the box about
the goals. After LONG steps a flood fill on bit masks makes sure that there is a way at all. Cost: O(n log n) for n
places that are settled, a few hundred for most tracks.

Which nets may use a place is an occupancy mask: one bit a net, by class of track or via and by side. A solid marks the
places nearer than its clearance by a stencil that is worked out once for each form of solid and offset from the grid.

The flood fill works on the bits of whole numbers: a row moves by one shift.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from functools import lru_cache
from heapq import heapify, heappop, heappush
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from boardgen.board.rules import GRID_NM, VIA, TrackClass, ViaClass

FREE, BLOCKED = 0, -1
"""A place holds one bit for each net that keeps the others away from it; all bits where nobody may pass."""
MOST_NETS = 62
"""So many nets of one cell have a bit."""
STEP_COST, DIAGONAL_COST, VIA_COST = 10, 14, 70
"""What a step, a diagonal step and a via cost; on the wrong side a step costs half as much again."""
BEND_COST = (0, 4, 9)
"""What a bend costs, by eighths of a turn; sharper ones are not drawn."""
FAR = 1 << 30
"""More than any way costs."""
MOST_STEPS = 60_000
"""After so many steps a search gives up."""
LONG = 60
"""After so many steps a search makes sure that there is a way at all."""
GREED = 1.15
"""Weight of the heuristic."""
SLACK_NM = 1
"""Places nearer than their distance by less count as far enough."""
GUARD_INSET, EDGE_INSET = 3, 1
"""Columns from the edge within which no via and no track lies: the next strip may have a via of its own there."""
DIRECTIONS = ((1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1), (0, -1), (1, -1))
"""Column and row steps of the eight directions, clockwise from the right; rows count downwards."""
CopperClass = TrackClass | ViaClass


class Capsule(NamedTuple):
    """A round-ended bar about a place of the grid, in nanometres right and down; a disc where both ends are one."""

    x1: float
    y1: float
    x2: float
    y2: float
    radius: float


class Bar(NamedTuple):
    """A rectangle about a place of the grid, in nanometres right and down: centre and half sides."""

    x: float
    y: float
    half_x: float
    half_y: float


Solid = Capsule | Bar
ColumnRow = tuple[int, int]
"""Column and row."""
Node = int
"""Number of a place on either side; the numbers of its neighbours differ by a fixed step."""
SideRowColumn = tuple[int, int, int]
"""Side (0 top, 1 bottom), row, column."""


class RoutingGrid:
    """Rows run down from the top edge, columns from the left; node 0, 0 lies in the upper left corner."""

    def __init__(self, columns: int, rows: int, tracks: Iterable[TrackClass]) -> None:
        self.columns, self.rows = columns, rows
        # a border that is always blocked spares the search its edge tests
        self.wide = columns + 2
        self.plane = self.wide * (rows + 2)
        # a via is wider than the track that leads to it, and needs the same clearance
        self.via_of = {track: ViaClass(VIA.width_nm, max(VIA.clearance_nm, track.clearance_nm)) for track in tracks}
        vias = sorted({*self.via_of.values(), VIA}, key=lambda via: via.clearance_nm)
        self.classes: tuple[CopperClass, ...] = (*self.via_of, *vias)
        self.reaches: dict[int, tuple[float, ...]] = {}
        """How far each class keeps off, by the clearance of what it keeps off from."""
        self.directions = {dy * self.wide + dx: number for number, (dx, dy) in enumerate(DIRECTIONS)}
        """Directions by the difference of two neighbours' numbers."""
        self.occupancy = np.full((len(self.classes), 2, rows + 2, self.wide), BLOCKED, np.int64)
        self.occupancy_of = dict(zip(self.classes, self.occupancy, strict=True))
        for copper, grid in self.occupancy_of.items():
            inset = GUARD_INSET if isinstance(copper, ViaClass) else EDGE_INSET
            grid[:, 1:-1, inset:-inset] = FREE

    def node(self, step: SideRowColumn) -> Node:
        """The number of a place."""
        return step[0] * self.plane + (step[1] + 1) * self.wide + step[2] + 1

    def step(self, node: Node) -> SideRowColumn:
        """The place of a number."""
        side, rest = divmod(node, self.plane)
        row, column = divmod(rest, self.wide)
        return side, row - 1, column - 1

    def block(self, sides: Sequence[int], solid: Solid, net: int, clearance_nm: int, at: ColumnRow = (0, 0)) -> None:
        """Keeps all other nets away from a piece of copper about a place; every net where `net` is BLOCKED."""
        reaches = self.reaches.get(clearance_nm)
        if reaches is None:
            reaches = tuple(copper.half_nm + max(copper.clearance_nm, clearance_nm) for copper in self.classes)
            self.reaches[clearance_nm] = reaches
        self._mark(self.occupancy[:, sides[0] : sides[-1] + 1], solid, at, reaches, _net_bit(net))

    def block_via(self, solid: Solid, reach_nm: float, at: ColumnRow) -> None:
        """Keeps every via so far from a hole about a place, whatever its net."""
        self._mark(self.occupancy[len(self.via_of) :], solid, at, (reach_nm,), BLOCKED)

    def block_rows(self, rows: Iterable[int]) -> None:
        """No track runs along these rows or so near that it reaches over them, and no via stands beside them.

        The pour of the next cell comes near.
        """
        for copper, grid in self.occupancy_of.items():
            for row in rows:
                if isinstance(copper, ViaClass):
                    grid[:, max(row, 1) : row + 3, 1:-1] = BLOCKED
                else:
                    deep = self.rows_at_edge(copper)
                    grid[:, max(row + 2 - deep, 1) : row + 1 + deep, 1:-1] = BLOCKED

    def rows_at_edge(self, track: TrackClass) -> int:
        """So many rows, the edge among them, in which the middle of a track would be too near to the next cell."""
        return math.ceil((track.half_nm + VIA.clearance_nm - SLACK_NM) / GRID_NM)

    def open(self, track: TrackClass, step: SideRowColumn, net: int) -> None:
        """Gives one place to a net."""
        self.occupancy_of[track][step[0], step[1] + 1, step[2] + 1] = _net_bit(net)

    def _mark(
        self, places: NDArray[np.int64], solid: Solid, at: ColumnRow, reaches: tuple[float, ...], bit: int
    ) -> None:
        """Adds a net's bit to the places too near a solid; a reach for each class, or one for all."""
        left, top, near = _stencil(solid, reaches)
        # places of the border count as well: they are blocked already
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
        track: TrackClass,
        net: int,
        sources: Collection[Node],
        goals: Mapping[Node, frozenset[int]],
        side: int,
        most_steps: int = MOST_STEPS,
    ) -> list[Node] | None:
        """The cheapest path from any source to any goal, or None.

        Parameters
        ----------
        track, net : class of the track, and number of its net
        sources : places that it may start from
        goals : for each place where it may end the directions in which copper leaves it already; the path may not come
            in at less than a right angle to any of them
        side : the side that the track should keep to
        most_steps : after so many places it gives up

        """
        free, via_places = self._open(track, net)
        # a byte a place: places are looked at one by one, and few of them
        is_open, takes_via = free.tobytes(), via_places.tobytes() * 2
        plane = self.plane
        estimate = self._heuristic(goals)
        moves = (_moves(self.wide, side == 0), _moves(self.wide, side == 1))
        unsettled = bytearray(is_open)
        best = [FAR] * (2 * plane)
        came_from: dict[Node, Node] = {}
        heap: list[tuple[int, int, Node, int]] = []
        for node in sources:
            if is_open[node]:
                best[node] = 0
                heap.append((estimate[node], 0, node, -1))
        heapify(heap)
        doubt = most_steps - LONG
        while heap and most_steps:
            most_steps -= 1
            if most_steps == doubt:
                ends = self._bits_of(goals)
                if not ends & self._spread(free, via_places, sources, ends):
                    return None
            _, spent, node, heading = heappop(heap)
            if not unsettled[node]:
                continue
            leaving = goals.get(node)
            if leaving is not None:
                back = (heading + 4) % 8
                if heading < 0 or all(_eighths(back, other) >= 2 for other in leaving):
                    return _path(came_from, node)
                best[node] = FAR
                continue
            unsettled[node] = False
            for direction, offset, across, cost in moves[node >= plane][heading]:
                after = node + offset
                if not unsettled[after]:
                    continue
                # a diagonal step comes nearer to what lies at the corners beside it than to its ends
                if across and not (is_open[node + across] and is_open[after - across]):
                    continue
                total = spent + cost
                if total < best[after]:
                    best[after] = total
                    came_from[after] = node
                    heappush(heap, (total + estimate[after], total, after, direction))
            if takes_via[node] and node in came_from:
                under = node + plane if node < plane else node - plane
                total = spent + VIA_COST
                if unsettled[under] and total < best[under] and not self._just_changed_sides(came_from, node):
                    best[under] = total
                    came_from[under] = node
                    heappush(heap, (total + estimate[under], total, under, -1))
        return None

    def _just_changed_sides(self, came_from: Mapping[Node, Node], node: Node) -> bool:
        """Whether the path to a place changed sides right beside it: two holes would meet."""
        back = came_from[node]
        for _ in range(2):
            before = came_from.get(back)
            if before is None:
                return False
            if abs(before - back) == self.plane:
                return node - back in self.directions
            back = before
        return False

    def leads_to_all(self, track: TrackClass, net: int, groups: Iterable[Collection[Node]]) -> bool:
        """Whether free places lead from the first of some groups to all the others."""
        first, *others = groups
        spread = self._spread(*self._open(track, net), first)
        return all(self._bits_of(group) & spread for group in others)

    def _open(self, track: TrackClass, net: int) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
        """The places of either side where a track of a net may run, and those where it may change sides."""
        others = ~_net_bit(net)
        top, bottom = self.occupancy_of[self.via_of[track]]
        return (self.occupancy_of[track] & others) == FREE, ((top | bottom) & others) == FREE

    def _spread(
        self, free: NDArray[np.bool_], via_places: NDArray[np.bool_], sources: Collection[Node], until: int = 0
    ) -> int:
        """The places to which ways lead from some, as bits; all, or as many as it takes to meet `until`.

        No diagonal step leads where level and upright ones do not, since the corners beside it must be open as well.
        """
        wide, plane = self.wide, self.plane
        open_bits, via_bits = _bits(free), _bits(via_places)
        via_bits |= via_bits << plane
        reached, grown = 0, self._bits_of(sources) & open_bits
        while grown != reached and not grown & until:
            reached = grown
            through = reached & via_bits
            near = reached << 1 | reached >> 1 | reached << wide | reached >> wide
            grown = (reached | near | through << plane | through >> plane) & open_bits
        return grown

    def _bits_of(self, nodes: Collection[Node]) -> int:
        places = np.zeros(2 * self.plane, bool)
        places[list(nodes)] = True
        return _bits(places)

    def _heuristic(self, goals: Iterable[Node]) -> list[int]:
        """At least what it still costs from each place to the box about these places of either side."""
        places = [node % self.plane for node in goals]
        columns = [place % self.wide for place in places]
        sides = min(columns), max(columns), min(places) // self.wide, max(places) // self.wide
        return _costs(self.wide, self.plane // self.wide, *sides)

    def copy(self) -> RoutingGrid:
        """The same places, to be changed apart."""
        twin = RoutingGrid.__new__(RoutingGrid)
        twin.columns, twin.rows, twin.wide, twin.plane = self.columns, self.rows, self.wide, self.plane
        twin.via_of, twin.classes, twin.reaches = self.via_of, self.classes, self.reaches
        twin.directions = self.directions
        twin.occupancy = self.occupancy.copy()
        twin.occupancy_of = dict(zip(twin.classes, twin.occupancy, strict=True))
        return twin


@lru_cache(maxsize=1024)
def _costs(wide: int, high: int, left: int, right: int, top: int, foot: int) -> list[int]:
    """At least what it costs from each place of either side to a box, its edges included."""
    row, column = np.arange(high)[:, None], np.arange(wide)
    dx = np.maximum(np.maximum(left - column, column - right), 0)
    dy = np.maximum(np.maximum(top - row, row - foot), 0)
    estimates: list[int] = _octile(max(wide, high))[dy, dx].ravel().tolist()
    return estimates * 2


@lru_cache(maxsize=64)
def _octile(steps: int) -> NDArray[np.int64]:
    """The weighted cost of so many rows and columns, fewer than `steps` of either."""
    dy, dx = np.ogrid[:steps, :steps]
    cost = STEP_COST * np.maximum(dx, dy) + (DIAGONAL_COST - STEP_COST) * np.minimum(dx, dy)
    return np.asarray((cost * GREED).astype(np.int64))


def _path(came_from: Mapping[Node, Node], node: Node) -> list[Node]:
    path = [node]
    while node in came_from:
        node = came_from[node]
        path.append(node)
    return path[::-1]


def _eighths(one: int, other: int) -> int:
    """Eighths of a turn between two directions."""
    between = (one - other) % 8
    return min(between, 8 - between)


@lru_cache(maxsize=256)
def _moves(wide: int, own_side: bool) -> tuple[tuple[tuple[int, int, int, int], ...], ...]:
    """For each heading, -1 the last, what may follow: direction, step, step across of a diagonal one, cost."""
    found = []
    for heading in (*range(8), -1):
        moves = []
        for direction, (dx, dy) in enumerate(DIRECTIONS):
            bend = _eighths(heading, direction) if heading >= 0 else 0
            if bend < len(BEND_COST):
                length = DIAGONAL_COST if direction % 2 else STEP_COST
                cost = (length if own_side else length * 3 // 2) + BEND_COST[bend]
                moves.append((direction, dy * wide + dx, dx if direction % 2 else 0, cost))
        found.append(tuple(moves))
    return tuple(found)


def _bits(places: NDArray[np.bool_]) -> int:
    """Places as the bits of a number, by their numbers."""
    return int.from_bytes(np.packbits(places, bitorder="little").tobytes(), "little")


def _net_bit(net: int) -> int:
    return BLOCKED if net == BLOCKED else 1 << (net - 1)


@lru_cache(maxsize=16384)
def _stencil(solid: Solid, reaches: tuple[float, ...]) -> tuple[int, int, NDArray[np.int64]]:
    """First column and row, and for each reach all bits at the places from there on that are nearer to the solid."""
    left, low, right, high = _core(solid)
    if isinstance(solid, Capsule):
        reaches = tuple(reach + solid.radius for reach in reaches)
    reach = max(reaches)
    first, last = math.ceil((left - reach) / GRID_NM), math.floor((right + reach) / GRID_NM)
    top, foot = math.ceil((low - reach) / GRID_NM), math.floor((high + reach) / GRID_NM)
    x = np.arange(first, last + 1, dtype=np.float64) * GRID_NM
    y = np.arange(top, foot + 1, dtype=np.float64)[:, None] * GRID_NM
    limits = (np.array(reaches)[:, None, None, None] - SLACK_NM) ** 2
    return first, top, np.where(_square_distance(solid, x, y) < limits, BLOCKED, FREE)


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
    """Left, least y, right and greatest y of a solid without its radius."""
    if isinstance(solid, Bar):
        return solid.x - solid.half_x, solid.y - solid.half_y, solid.x + solid.half_x, solid.y + solid.half_y
    return min(solid.x1, solid.x2), min(solid.y1, solid.y2), max(solid.x1, solid.x2), max(solid.y1, solid.y2)
