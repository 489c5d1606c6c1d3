"""Routes the tracks of a placed cell: one net after the other, each group of pads joined to the nearest by a search.

Algorithm: sequential maze routing with rip-up of the whole cell. Nets are routed in the order of their rank; where one
finds no way, everything is taken out and that net goes first, up to ORDERS times. A net of several pads is joined
greedily, nearest group first, as in Prim's spanning tree. Cost: a search (`routing_grid`) for each pad.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from copy import copy
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from boardgen.board.cell_task import EARTH, ZERO, CellTask, CellVia, LocalNet, PartPlace, Segment
from boardgen.board.routing_grid import BLOCKED, MOST_NETS, SLACK_NM, Bar, Capsule, RoutingGrid, SideRowColumn
from boardgen.board.rules import (
    DIAGONAL_CLEARANCE_NM,
    GRID_CLEARANCE_NM,
    GRID_NM,
    GUARD_NM,
    LEAST_CLEARANCE_NM,
    VIA,
    TrackClass,
)
from boardgen.model.part import Pad

STITCH_ROWS = 12
"""A stitching via at least every 7.62 mm of a guard trace."""
ORDERS = 4
"""How often the nets that found no way are put first before more room is given."""
HOLE_CLEARANCE_NM = 300_000
"""What other vias keep from a via, whatever their nets: the house's distance of holes with some slack."""
PAD_TO_VIA_NM = 50_000
"""What a via keeps from every pad: inside one solder would run away through it."""
FAR_STEPS = 12
"""Diagonal steps are looked at so far from round copper."""
LARGE_GROUP = 40
"""A group of so many places is a guard trace or a bus: only the way to the nearer edge counts."""
NONE, UP_AND_DOWN, TO_THE_SIDES = frozenset[int](), frozenset((2, 6)), frozenset((0, 4))
"""Directions in which copper leaves a place."""
RANKS = {"signal": 0, "feed": 1, "control": 2, "earth": 3, "0V": 4}
"""Signals are routed first, then what is short; 0V last, since a guard trace is never far."""
Group = dict[int, frozenset[int]]
"""Joined places, and for each the directions in which copper leaves it."""
Routes = tuple[tuple[Segment, ...], tuple[CellVia, ...]]


class NoRoomError(Exception):
    """The cell cannot be laid out this narrow."""


class TooTallError(NoRoomError):
    """The cell takes more rows than are of use."""


class NoWay(NamedTuple):
    """A cell that was not routed; `suspect` is a net that found no way although it came first."""

    suspect: LocalNet | None = None


def route(
    task: CellTask, rows: int, places: tuple[PartPlace, ...], suspects: Sequence[LocalNet] = ()
) -> Routes | NoWay:
    """All tracks and vias of a placed cell, given ones included.

    Parameters
    ----------
    task : the cell
    rows : its height
    places : of its parts
    suspects : nets that found no way in an earlier arrangement although they came first, the latest before the others;
        where one of them finds none here either, nothing more is tried

    Returns
    -------
    Segments and vias, or that a net finds no way in any of the orders tried

    Raises
    ------
    NoRoomError where the cell has more nets than the grid has bits

    """
    first: list[LocalNet] = []
    start = _Router(task, rows, places)
    if suspects and not (all(start.again().join(net) for net in suspects) and all(map(start.has_way, start.pins))):
        return NoWay()
    for _ in range(ORDERS):
        router = start.again()
        nets = sorted(
            router.pins, key=lambda net: (net not in first, first.index(net) if net in first else 0, _rank(net))
        )
        failed = next((net for net in nets if not router.join(net)), None)
        if failed is None:
            return (*router.given, *router.segments), (*task.vias, *router.vias)
        if first and first[0] == failed:
            return NoWay(failed)
        first = [failed, *(net for net in first if net != failed)]
    return NoWay()


def _rank(net: LocalNet) -> tuple[int, LocalNet]:
    return RANKS.get(net[0], 2), net


def guard_segments(task: CellTask, rows: int) -> Iterator[Segment]:
    """The guard trace at either edge of the cell, on both sides of the board."""
    foot = rows - task.guard_to
    for x, there in zip((0, task.columns * GRID_NM), task.guard_traces, strict=True):
        if there and foot > task.guard_from:
            for side in (0, 1):
                start = max(task.guard_from, task.bus_to) if side == 0 else task.guard_from
                yield Segment(side, (x, start * GRID_NM), (x, foot * GRID_NM), GUARD_NM, ZERO)


def stitching_vias(task: CellTask, rows: int, last: bool) -> Iterator[CellVia]:
    """Vias that join the two sides of the left guard trace, and of the right one where the strip is the last."""
    foot, start = rows - task.guard_to, max(task.guard_from, task.bus_to)
    # a short cell has none: its neighbours' are near, and two holes might meet
    count = round((foot - start) / STITCH_ROWS)
    for column, there in ((0, task.guard_traces[0]), (task.columns, task.guard_traces[1] and last)):
        if there:
            for number in range(count):
                row = start + (foot - start) * (2 * number + 1) // (2 * count)
                yield (column * GRID_NM, row * GRID_NM), ZERO


class _Router:
    """One attempt to route all nets of a placed cell."""

    def __init__(self, task: CellTask, rows: int, places: tuple[PartPlace, ...]) -> None:
        self.classes = dict(task.net_classes)
        self.task, self.rows = task, rows
        tracks = {self.classes[name].track for name in _class_names(task)}
        self.grid = RoutingGrid(task.columns + 1, rows + 1, tracks)
        self.halves = tuple(sorted({track.half_nm for track in tracks}))
        self.numbers: dict[LocalNet, int] = {}
        self.segments: list[Segment] = []
        self.vias: list[CellVia] = []
        self.pins: dict[LocalNet, list[Group]] = {}
        """For each net its groups of joined places."""
        self.guard_places: Group = {}
        self._block_pins()
        self.grid.block_rows((0, rows))
        self._open_pins()
        self.given = [*task.segments, *guard_segments(task, rows)]
        for segment in self.given:
            self._block_segment(segment)
            self._group_segment(segment)
        for at, net in task.vias:
            self._block_via(*at, net)
        for part, (column, row, rotation) in zip(task.parts, places, strict=True):
            for pad, pad_net in zip(part.rotated(rotation).pads, part.nets, strict=True):
                self._block_pad(pad, column, row, pad_net)

    def _block_pins(self) -> None:
        for pins, row in ((self.task.above, 0), (self.task.below, self.rows)):
            for pin in pins:
                disc = _disc(self.classes[pin.net[0]].track.half_nm)
                clear = max(self.clearance_nm(pin.net), DIAGONAL_CLEARANCE_NM)
                self.grid.block((pin.side,), disc, self.number(pin.net), clear, (pin.column, row))
                self.pins.setdefault(pin.net, []).append({self.grid.node((pin.side, row, pin.column)): NONE})

    def _open_pins(self) -> None:
        """A way in for each net that crosses an edge, straight through the rows beside it."""
        for pins, row in ((self.task.above, 0), (self.task.below, self.rows)):
            for pin in pins:
                track = self.classes[pin.net[0]].track
                for step in range(self.grid.rows_at_edge(track)):
                    inward = row + step if row == 0 else row - step
                    self.grid.open(track, (pin.side, inward, pin.column), self.number(pin.net))
                if pin.net == EARTH:
                    self._open_earth(track, pin.side, row, pin.column)

    def _open_earth(self, track: TrackClass, side: int, row: int, column: int) -> None:
        """Earth comes straight in and keeps off the edge: the pour of the next cell keeps less distance from it."""
        inward = 1 if row == 0 else -1
        for step in range(math.ceil((track.half_nm + track.clearance_nm) / GRID_NM)):
            here = row + inward * step
            if 0 < here < self.rows:
                self.grid.occupancy_of[track][:, here + 1, 1:-1] = BLOCKED
                self.grid.open(track, (side, here, column), self.number(EARTH))

    def again(self) -> _Router:
        """A fresh attempt from the same start."""
        twin = copy(self)
        twin.grid = self.grid.copy()
        twin.segments, twin.vias = [], []
        twin.pins = {net: list(groups) for net, groups in self.pins.items()}
        return twin

    def number(self, net: LocalNet) -> int:
        """The net's number on the grid."""
        number = self.numbers.setdefault(net, len(self.numbers) + 1)
        if number > MOST_NETS:
            msg = f"{self.task.stage}, a cell of more than {MOST_NETS} nets"
            raise NoRoomError(msg)
        return number

    def clearance_nm(self, net: LocalNet) -> int:
        """What the net keeps from others."""
        return self.classes[net[0]].track.clearance_nm

    def _round_clearance_nm(self, radius_nm: float, x: int, y: int) -> int:
        """The clearance that places must keep from a round end there."""
        on_grid = x % GRID_NM == 0 and y % GRID_NM == 0
        return disc_clearance_nm(radius_nm, self.halves) if on_grid else DIAGONAL_CLEARANCE_NM

    def _block_segment(self, segment: Segment) -> None:
        # the same piece drawn the other way round is the same solid
        (x1, y1), (x2, y2) = sorted((segment.start, segment.end))
        column, row, half = round(x1 / GRID_NM), round(y1 / GRID_NM), segment.width_nm / 2
        x, y = column * GRID_NM, row * GRID_NM
        clear = max(
            self.clearance_nm(EARTH if segment.surge and segment.net != ZERO else segment.net),
            self._round_clearance_nm(half, x1, y1),
            self._round_clearance_nm(half, x2, y2),
        )
        solid = Capsule(x1 - x, y1 - y, x2 - x, y2 - y, half)
        self.grid.block((segment.side,), solid, self.number(segment.net), clear, (column, row))

    def _group_segment(self, segment: Segment) -> None:
        """The places along a given segment, where other copper of its net may be joined."""
        (x1, y1), (x2, y2) = segment.start, segment.end
        group: Group = {}
        if x1 == x2 or y1 == y2:
            leaving = UP_AND_DOWN if x1 == x2 else TO_THE_SIDES
            top, foot = round(min(y1, y2) / GRID_NM), round(max(y1, y2) / GRID_NM)
            left, right = round(min(x1, x2) / GRID_NM), round(max(x1, x2) / GRID_NM)
            rows = range(max(top, 1), min(foot, self.rows - 1) + 1)
            for column in range(max(left, 0), min(right, self.task.columns) + 1):
                start = self.grid.node((segment.side, rows.start, column))
                group |= dict.fromkeys(range(start, start + len(rows) * self.grid.wide, self.grid.wide), leaving)
            if segment.surge:
                # other given copper may leave the ends of surge copper at any angle
                for x, y in (segment.start, segment.end):
                    if x % GRID_NM == 0 and y % GRID_NM == 0:
                        group.pop(self.grid.node((segment.side, y // GRID_NM, x // GRID_NM)), None)
        if segment.net == ZERO:
            self.guard_places |= group
            self.pins.setdefault(ZERO, [])
        elif group:
            self.pins.setdefault(segment.net, []).append(group)

    def _block_via(self, x: int, y: int, net: LocalNet) -> None:
        column, row, half = round(x / GRID_NM), round(y / GRID_NM), VIA.half_nm
        disc = _disc(half, x - column * GRID_NM, y - row * GRID_NM)
        clear = max(self.clearance_nm(net), self._round_clearance_nm(half, x, y))
        self.grid.block((0, 1), disc, self.number(net), clear, (column, row))
        self.grid.block_via(disc, half + HOLE_CLEARANCE_NM, (column, row))

    def _block_pad(self, pad: Pad, column: int, row: int, net: LocalNet | None) -> None:
        # about the nearest place pads of all parts are the same few solids
        right, down = round(pad.x_nm / GRID_NM), round(-pad.y_nm / GRID_NM)
        at = column + right, row + down
        x, y = pad.x_nm - right * GRID_NM, -pad.y_nm - down * GRID_NM
        sides = (0, 1) if pad.hole_nm else (0,)
        solid: Bar | Capsule = Bar(x, y, pad.width_nm / 2, pad.height_nm / 2)
        near = DIAGONAL_CLEARANCE_NM
        if pad.hole_nm and pad.width_nm == pad.height_nm:
            solid = _disc(pad.width_nm / 2, x, y)
            near = self._round_clearance_nm(pad.width_nm / 2, pad.x_nm, pad.y_nm)
        # a pad left free keeps every net away
        number = self.number(net) if net else BLOCKED
        self.grid.block(sides, solid, number, max(self.clearance_nm(net) if net else 0, near), at)
        self.grid.block_via(solid, VIA.half_nm + PAD_TO_VIA_NM, at)
        if net:
            group = {self.grid.node((side, at[1], at[0])): NONE for side in sides}
            self.pins.setdefault(net, []).append(group)

    def join(self, net: LocalNet) -> bool:
        """Joins all groups of a net, nearest first; False where one finds no way."""
        net_class = self.classes[net[0]]
        groups = sorted(self.pins[net], key=len)
        joined = dict(self.guard_places) if net == ZERO and self.guard_places else dict(groups.pop()) if groups else {}
        while groups:
            group = min(groups, key=lambda g: self._steps_apart(g, joined)) if len(groups) > 1 else groups[0]
            path = self.grid.search(net_class.track, self.number(net), group, joined, net_class.side)
            if path is None:
                return False
            groups.remove(group)
            joined |= group
            self._draw(net, net_class.track, path, joined)
        return True

    def has_way(self, net: LocalNet) -> bool:
        """Whether a net could be joined if it were alone, but for the angles of its tracks."""
        groups = [self.guard_places] if net == ZERO and self.guard_places else []
        return self.grid.leads_to_all(self.classes[net[0]].track, self.number(net), [*groups, *self.pins[net]])

    def _steps_apart(self, group: Group, joined: Group) -> int:
        _, row, column = self.grid.step(next(iter(group)))
        if len(joined) > LARGE_GROUP:
            return min(column, self.task.columns - column)
        return min(max(abs(row - r), abs(column - c)) for _, r, c in map(self.grid.step, joined))

    def _draw(self, net: LocalNet, track: TrackClass, path: list[int], joined: Group) -> None:
        """Draws a path: a segment for each straight piece, a via for each change of side."""
        directions, start, before = self.grid.directions, path[0], None
        for one, two in itertools.pairwise(path):
            direction = directions.get(two - one)
            if direction != before and start != one:
                self._add_segment(net, track, start, one)
                start = one
            before = direction
            if direction is None:
                self._add_via(net, self.grid.step(one), joined)
                start = two
            else:
                joined[one] = joined.get(one, NONE) | {direction}
                joined[two] = joined.get(two, NONE) | {(direction + 4) % 8}
        if start != path[-1]:
            self._add_segment(net, track, start, path[-1])

    def _add_segment(self, net: LocalNet, track: TrackClass, start: int, end: int) -> None:
        (side, row, column), (_, end_row, end_column) = self.grid.step(start), self.grid.step(end)
        ends = (column * GRID_NM, row * GRID_NM), (end_column * GRID_NM, end_row * GRID_NM)
        segment = Segment(side, *ends, track.width_nm, net)
        self.segments.append(segment)
        self._block_segment(segment)

    def _add_via(self, net: LocalNet, at: SideRowColumn, joined: Group) -> None:
        x, y = at[2] * GRID_NM, at[1] * GRID_NM
        self.vias.append(((x, y), net))
        self._block_via(x, y, net)
        for side in (0, 1):
            node = self.grid.node((side, at[1], at[2]))
            joined[node] = joined.get(node, NONE)


def _class_names(task: CellTask) -> set[str]:
    """The classes of nets that a cell has."""
    nets = {ZERO, *(net for part in task.parts for net in part.nets if net)}
    nets |= {pin.net for pin in (*task.above, *task.below)} | {segment.net for segment in task.segments}
    return {net[0] for net in nets}


def _disc(radius_nm: float, x: float = 0.0, y: float = 0.0) -> Capsule:
    return Capsule(x, y, x, y, radius_nm)


@lru_cache(maxsize=1024)
def disc_clearance_nm(radius_nm: float, halves_nm: tuple[float, ...]) -> int:
    """The clearance that places must keep from a disc on the grid so that tracks of these half widths keep the rule's.

    A diagonal track comes nearer to the disc between two places than at either.
    """
    for half in halves_nm:
        reach = radius_nm + half
        if nearest_nm(reach + GRID_CLEARANCE_NM) < reach + LEAST_CLEARANCE_NM:
            return DIAGONAL_CLEARANCE_NM
    return GRID_CLEARANCE_NM


@lru_cache(maxsize=256)
def nearest_nm(reach_nm: float) -> float:
    """The least distance to a point of the grid of a diagonal step between places at least `reach_nm` away."""
    ends, nearest = _diagonal_steps()
    return float(nearest[ends >= reach_nm - SLACK_NM].min())


@lru_cache(maxsize=1)
def _diagonal_steps() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Of diagonal steps about a place of the grid: how far their nearer end is, and their nearest point."""
    column, row = np.meshgrid(np.arange(FAR_STEPS), np.arange(1, FAR_STEPS))
    ends = np.minimum(np.hypot(column, row), np.hypot(column + 1, row - 1))
    # the foot of the perpendicular lies on the step, or an end is nearest
    along = np.clip((row - column) / 2, 0, 1)
    return ends * GRID_NM, np.hypot(column + along, row - along) * GRID_NM
