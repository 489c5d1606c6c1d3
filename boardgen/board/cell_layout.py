"""Lays one cell out: packs its parts, then runs its tracks, and gives it more room until all of them pass."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from copy import copy
from functools import lru_cache

from boardgen.board.cell_task import EARTH, FENCE_MM, TOGETHER, ZERO, Drawn, Job, Laid, Token
from boardgen.board.placement import TRIALS, Packed, Place, pack
from boardgen.board.routing_grid import GRID_MM, MOST_NETS, SHUT, VIA, Bar, Capsule, Class, Maze, Step
from boardgen.board.slant import SLANT_MM, clear_mm
from boardgen.model.part import Pad

STITCH_ROWS = 12
"""A via at least every 7.62 mm of the fence."""
SPREADS = (0, 150_000, 300_000, 635_000, 1_270_000)
"""More space about each part that is tried in turn, in nanometres."""
EXTRA = ((0, 0), (1, 1), (2, 2), (3, 3))
"""Free rows above and below the parts."""
ATTEMPTS, MORE_ATTEMPTS = 12, 6
"""Arrangements whose tracks are tried, the lowest first: without and with more space."""
ORDERS = 4
"""How often the tracks that found no way are put first before more room is given."""
GRID_NM = 635_000
NO_LIMIT = 1 << 30


NO_WAY, UP_AND_DOWN, TO_THE_SIDES = frozenset[int](), frozenset((2, 6)), frozenset((0, 4))
"""Directions in which copper leaves a place."""


class NoRoomError(Exception):
    """The cell cannot be laid out this narrow."""


class TooTallError(NoRoomError):
    """The cell takes more rows than are of use."""


def lay(job: Job, most_rows: int = NO_LIMIT) -> Laid:
    """The cell laid out, remembered. Raises NoRoomError; TooTallError where it would take more rows than these."""
    return _attempts(job).laid(most_rows)


@lru_cache(maxsize=4096)
def _attempts(job: Job) -> _Attempts:
    return _Attempts(job)


class _Attempts:
    """One cell laid out in one arrangement after the other, as far as anybody asked."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.others = _arrangements(job)
        self.next = next(self.others, None)
        self.found: Laid | None = None
        self.suspects: list[Token] = []

    def laid(self, most_rows: int) -> Laid:
        while self.found is None:
            if self.next is None:
                raise NoRoomError(self.job.stage)
            rows, places = self.next
            if rows > most_rows:
                raise TooTallError(self.job.stage)
            tracks = _run(self.job, rows, places, self.suspects)
            if tracks is not None:
                self.found = Laid(rows, places, *tracks)
            self.next = next(self.others, None)
        return self.found


def _arrangements(job: Job) -> Iterator[Packed]:
    """All that is tried, with more and more space about the parts."""
    # a cell of several stages that finds no way soon is better laid out as several cells
    for spread in SPREADS[: 1 if TOGETHER in job.stage else None]:
        found = pack(job, spread, earth_nm(job), TRIALS)
        most = None if job.thorough else MORE_ATTEMPTS if spread else ATTEMPTS
        yield from itertools.islice(_tries(job, found), most)
        if job.rows or not found:
            break


def _tries(job: Job, found: tuple[Packed, ...]) -> Iterator[Packed]:
    """The arrangements as they are and with free rows about them, the lowest first."""
    if job.rows:
        yield from found
        return
    extra = [(0 if job.rails_to else over, under) for over, under in EXTRA]
    heights = sorted((rows + sum(more), k, more) for k, (rows, _) in enumerate(found) for more in extra)
    for height, k, (over, _) in heights:
        yield height, tuple((column, row + over, turn) for column, row, turn in found[k][1])


def _used(job: Job) -> set[str]:
    """The kinds of nets that a cell has."""
    nets = {ZERO, *(net for seat in job.parts for net in seat.nets if net)}
    nets |= {port.net for port in (*job.above, *job.below)} | {drawn.net for drawn in job.drawn}
    return {net[0] for net in nets}


def earth_nm(job: Job) -> int:
    """How much room an earth land needs about it."""
    return round(dict(job.kinds)["earth"].track.clear_mm * 1e6)


def fences(job: Job, rows: int) -> Iterator[Drawn]:
    """The fence at either edge of the cell, on both sides of the board."""
    foot = rows - job.wall_to
    for column, there in zip((0, job.columns), job.walls, strict=True):
        if there and foot > job.wall_from:
            for side in (0, 1):
                start = max(job.wall_from, job.rails_to) if side == 0 else job.wall_from
                yield Drawn(side, (column, start), (column, foot), FENCE_MM, ZERO, wall=True)


def stitches(job: Job, rows: int, last: bool) -> Iterator[tuple[float, float, Token]]:
    """Vias that join the two sides of the left fence, and of the right one where the strip is the last."""
    foot, start = rows - job.wall_to, max(job.wall_from, job.rails_to)
    # a short cell has none: its neighbours' are near, and two holes might meet
    count = round((foot - start) / STITCH_ROWS)
    for column, there in ((0, job.walls[0]), (job.columns, job.walls[1] and last)):
        if there:
            for number in range(count):
                yield column, start + (foot - start) * (2 * number + 1) // (2 * count), ZERO


class _Run:
    """One attempt to run all tracks of a packed cell."""

    def __init__(self, job: Job, rows: int, places: tuple[Place, ...]) -> None:
        self.kinds = dict(job.kinds)
        self.job, self.rows = job, rows
        self.maze = Maze(job.columns + 1, rows + 1, {self.kinds[name].track for name in _used(job)})
        self.halves = tuple(sorted({self.kinds[name].track.half_mm for name in _used(job)}))
        self.numbers: dict[Token, int] = {}
        self.tracks: list[Drawn] = []
        self.vias: list[tuple[float, float, Token]] = []
        self.pins: dict[Token, list[dict[int, frozenset[int]]]] = {}
        """For each net its groups of joined places; a place has the directions in which copper leaves it."""
        self.walls: dict[int, frozenset[int]] = {}
        self._ports()
        self.maze.shut_rows((0, rows))
        for ports, row in ((job.above, 0), (job.below, rows)):
            for port in ports:
                track = self.kinds[port.net[0]].track
                for step in range(self.maze.deep(track)):
                    inward = row + step if row == 0 else row - step
                    self.maze.open(track, (port.side, inward, port.column), self.number(port.net))
                if port.net == EARTH:
                    self._earth_way_in(track, port.side, row, port.column)
        self.given = [*job.drawn, *fences(job, rows)]
        for drawn in self.given:
            self._block_track(drawn)
            self._group_drawn(drawn)
        for x, y, net in job.vias:
            self._block_via(x, y, net)
        for seat, (column, row, turn) in zip(job.parts, places, strict=True):
            for number, (pad, joined) in enumerate(zip(seat.form(turn).pads, seat.nets, strict=True)):
                self._pad(pad, column, row, joined or ("free", 1000 * column + number))

    def _earth_way_in(self, track: Class, side: int, row: int, column: int) -> None:
        """Earth comes straight in and keeps off the edge: the pour of the next cell keeps less distance from it."""
        reach = math.ceil((track.half_mm + track.clear_mm) / GRID_MM)
        inward = 1 if row == 0 else -1
        for step in range(reach):
            here = row + inward * step
            if 0 < here < self.rows:
                for each in (0, 1):
                    line = self.maze.owner[track][each, here + 1, 1:-1]
                    line[:] = SHUT
                self.maze.open(track, (side, here, column), self.number(EARTH))

    def again(self) -> _Run:
        """A fresh attempt from the same start."""
        twin = copy(self)
        twin.maze = self.maze.copy()
        twin.tracks, twin.vias, twin.pins = [], [], {net: list(groups) for net, groups in self.pins.items()}
        return twin

    def number(self, net: Token) -> int:
        number = self.numbers.setdefault(net, len(self.numbers) + 1)
        if number > MOST_NETS:
            msg = f"{self.job.stage}, a cell of more than {MOST_NETS} nets"
            raise NoRoomError(msg)
        return number

    def clear(self, net: Token) -> float:
        return self.kinds[net[0]].track.clear_mm if net[0] in self.kinds else 0.0

    def round(self, radius_mm: float, column: float, row: float) -> float:
        """The clearance that places must keep from a round end there."""
        on_grid = abs(column - round(column)) < 1e-6 and abs(row - round(row)) < 1e-6
        return clear_mm(radius_mm, self.halves) if on_grid else SLANT_MM

    def _ports(self) -> None:
        for ports, row in ((self.job.above, 0), (self.job.below, self.rows)):
            for port in ports:
                step = (port.side, row, port.column)
                solid = _disc(self.kinds[port.net[0]].track.half_mm)
                clear = max(self.clear(port.net), SLANT_MM)
                self.maze.block((port.side,), solid, self.number(port.net), clear, (port.column, row))
                self.pins.setdefault(port.net, []).append({self.maze.node(step): frozenset()})

    def _block_track(self, drawn: Drawn) -> None:
        (x1, y1), (x2, y2) = drawn.start, drawn.end
        if drawn.end < drawn.start:
            # the same piece drawn the other way round is the same solid
            x1, y1, x2, y2 = x2, y2, x1, y1
        column, row, half = round(x1), round(y1), drawn.width_mm / 2
        ends = GRID_MM * (x1 - column), GRID_MM * (row - y1), GRID_MM * (x2 - column), GRID_MM * (row - y2)
        clear = self.clear(EARTH if drawn.surge and drawn.net != ZERO else drawn.net)
        clear = max(clear, self.round(half, x1, y1), self.round(half, x2, y2))
        self.maze.block((drawn.side,), Capsule(*ends, half), self.number(drawn.net), clear, (column, row))

    def _group_drawn(self, drawn: Drawn) -> None:
        (x1, y1), (x2, y2) = drawn.start, drawn.end
        nodes: dict[int, frozenset[int]] = {}
        if x1 == x2 or y1 == y2:
            leaving = UP_AND_DOWN if x1 == x2 else TO_THE_SIDES
            rows = range(max(round(min(y1, y2)), 1), min(round(max(y1, y2)), self.rows - 1) + 1)
            for column in range(max(round(min(x1, x2)), 0), min(round(max(x1, x2)), self.job.columns) + 1):
                start = self.maze.node((drawn.side, rows.start, column))
                nodes |= dict.fromkeys(range(start, start + len(rows) * self.maze.wide, self.maze.wide), leaving)
            if drawn.surge:
                # other given copper may leave the ends of surge copper at any angle
                for x, y in (drawn.start, drawn.end):
                    if x == round(x) and y == round(y):
                        nodes.pop(self.maze.node((drawn.side, round(y), round(x))), None)
        if drawn.net == ZERO:
            self.walls |= nodes
            self.pins.setdefault(ZERO, [])
        elif nodes:
            self.pins.setdefault(drawn.net, []).append(nodes)

    def _block_via(self, column: float, row: float, net: Token) -> None:
        at, half = (round(column), round(row)), VIA.half_mm
        x, y = GRID_MM * (column - at[0]), GRID_MM * (at[1] - row)
        solid = Capsule(x, y, x, y, half)
        self.maze.block((0, 1), solid, self.number(net), max(self.clear(net), self.round(half, column, row)), at)
        self.maze.block_via(solid, half + 0.3, at)

    def _pad(self, pad: Pad, column: int, row: int, net: Token) -> None:
        x, y = pad.x_nm / GRID_NM, -pad.y_nm / GRID_NM
        at = column + round(x), row + round(y)
        # about the nearest place lands of all pads are the same few solids
        dx, dy = pad.x_nm / 1e6 - GRID_MM * round(x), pad.y_nm / 1e6 + GRID_MM * round(y)
        dx, dy = round(dx, 9), round(dy, 9)
        sides = (0, 1) if pad.hole_nm else (0,)
        solid: Bar | Capsule = Bar(dx, dy, pad.width_nm / 2e6, pad.height_nm / 2e6)
        near = SLANT_MM
        if pad.hole_nm and pad.width_nm == pad.height_nm:
            solid = Capsule(dx, dy, dx, dy, pad.width_nm / 2e6)
            near = self.round(pad.width_nm / 2e6, x, y)
        # a pad left free keeps every net away
        number = self.number(net) if net[0] != "free" else SHUT
        self.maze.block(sides, solid, number, max(self.clear(net), near), at)
        # no via inside a land: solder would run away through it
        self.maze.block_via(solid, VIA.half_mm + 0.05, at)
        if net[0] != "free":
            nodes = {self.maze.node((side, at[1], at[0])): NO_WAY for side in sides}
            self.pins.setdefault(net, []).append(nodes)

    def join(self, net: Token) -> bool:
        """Joins all groups of a net, nearest first."""
        kind = self.kinds[net[0]]
        groups = self.pins[net]
        groups = sorted(groups, key=len)
        joined = dict(self.walls) if net == ZERO and self.walls else dict(groups.pop()) if groups else {}
        while groups:
            group = min(groups, key=lambda g: self._far(g, joined)) if len(groups) > 1 else groups[0]
            path = self.maze.search(kind.track, self.number(net), group, joined, kind.side)
            if path is None:
                return False
            groups.remove(group)
            joined |= group
            self._keep(net, kind.track, path, joined)
        return True

    def has_way(self, net: Token) -> bool:
        """Whether a net could be joined if it were alone, but for the angles of its tracks."""
        groups = [self.walls] if net == ZERO and self.walls else []
        return self.maze.leads_to_all(self.kinds[net[0]].track, self.number(net), [*groups, *self.pins[net]])

    def _far(self, group: dict[int, frozenset[int]], joined: dict[int, frozenset[int]]) -> int:
        _, row, column = self.maze.step(next(iter(group)))
        if len(joined) > 40:
            return min(column, self.job.columns - column)
        return min(max(abs(row - r), abs(column - c)) for _, r, c in map(self.maze.step, joined))

    def _keep(self, net: Token, kind: Class, path: list[int], joined: dict[int, frozenset[int]]) -> None:
        """Draws a path: a track for each straight piece, a via for each change of side."""
        ways, start, before = self.maze.ways, path[0], None
        for one, two in itertools.pairwise(path):
            way = ways.get(two - one)
            if way != before and start != one:
                self._piece(net, kind, start, one)
                start = one
            before = way
            if way is None:
                self._via(net, self.maze.step(one), joined)
                start = two
            else:
                joined[one] = joined.get(one, NO_WAY) | {way}
                joined[two] = joined.get(two, NO_WAY) | {(way + 4) % 8}
        if start != path[-1]:
            self._piece(net, kind, start, path[-1])

    def _piece(self, net: Token, kind: Class, start: int, end: int) -> None:
        (side, row, column), (_, end_row, end_column) = self.maze.step(start), self.maze.step(end)
        drawn = Drawn(side, (column, row), (end_column, end_row), 2 * kind.half_mm, net)
        self.tracks.append(drawn)
        self._block_track(drawn)

    def _via(self, net: Token, at: Step, joined: dict[int, frozenset[int]]) -> None:
        self.vias.append((at[2], at[1], net))
        self._block_via(at[2], at[1], net)
        for side in (0, 1):
            node = self.maze.node((side, at[1], at[2]))
            joined[node] = joined.get(node, NO_WAY)


Found = tuple[tuple[Drawn, ...], tuple[tuple[float, float, Token], ...]]


def _run(job: Job, rows: int, places: tuple[Place, ...], suspects: list[Token]) -> Found | None:
    """All tracks and vias, given ones included; None where a net finds no way in any of the orders tried.

    `suspects` are nets that found no way in an earlier arrangement although they came first, the latest before the
    others; such a net is added.
    """
    first: list[Token] = []
    start = _Run(job, rows, places)
    if suspects and not (all(start.again().join(net) for net in suspects) and all(map(start.has_way, start.pins))):
        return None
    for _ in range(ORDERS):
        run = start.again()
        nets = sorted(run.pins, key=lambda net: (net not in first, first.index(net) if net in first else 0, _rank(net)))
        failed = next((net for net in nets if not run.join(net)), None)
        if failed is None:
            return (*run.given, *run.tracks), (*job.vias, *run.vias)
        if first and first[0] == failed:
            suspects.insert(0, failed)
            return None
        first = [failed, *(net for net in first if net != failed)]
    return None


def _rank(net: Token) -> tuple[int, Token]:
    """Signals first, then what is short; 0V last, since a fence is never far."""
    order = {"signal": 0, "feed": 1, "control": 2, "earth": 3, "0V": 4}
    return order.get(net[0], 2) if net != EARTH else 3, net


def _disc(radius_mm: float) -> Capsule:
    return Capsule(0.0, 0.0, 0.0, 0.0, radius_mm)
