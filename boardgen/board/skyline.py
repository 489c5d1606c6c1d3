"""Drops the parts of a cell into it in many orders at once: each as high as it can go, and what wire that takes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from boardgen.board.cell_task import EARTH, FENCE_MM, ZERO, Job, SeatJob, Token
from boardgen.board.rotated_footprint import grown

GRID_NM = 635_000
WALL_NM = 780_000
"""From the centre-line of the fence to the nearest other land: half the fence and a clearance."""
NOTHING = -(10**9)
"""Where a form has nothing in a column."""
DOOR_ROWS = 2
"""Rows that it takes to clear a port of the pads before it."""
FAR = 1e9
"""Beyond every column and row."""
SIDES = 128
"""More than the columns of any cell."""
Ints = NDArray[np.int32]
Floats = NDArray[np.float64]
Profile = tuple[int, tuple[int, ...], tuple[int, ...], int, int]


@lru_cache(maxsize=8192)
def _profile(seat: SeatJob, turn: int, spread: int, earth_nm: int) -> Profile:
    """First column, upper and lower edge in each column, and how far lands reach left and right, in nanometres."""
    form = seat.form(turn)
    boxes = [grown(box, spread) for box in form.courtyard]
    lands = list(form.land_boxes)
    for index, net in enumerate(seat.nets):
        if net == EARTH:
            lands[index] = grown(lands[index], earth_nm)
            boxes.append(lands[index])
    first, last = min(b[0] for b in boxes) // GRID_NM, -(-max(b[2] for b in boxes) // GRID_NM)
    tops, feet = [NOTHING] * (last - first), [NOTHING] * (last - first)
    for left, low, right, top in boxes:
        for column in range(left // GRID_NM - first, -(-right // GRID_NM) - first):
            tops[column] = max(tops[column], top)
            feet[column] = max(feet[column], -low)
    return first, tuple(tops), tuple(feet), min(b[0] for b in lands), max(b[2] for b in lands)


class Dropped(NamedTuple):
    """Many arrangements: rows counted against each, rows taken, and wire; by seat, column and row in each."""

    score: Ints
    rows: Ints
    wire: Floats
    columns: Ints
    depths: Ints


class Forms:
    """The parts of a cell in every turn that fits its width, as arrays; `of[seat]` are the forms of a seat."""

    def __init__(self, job: Job, spread: int, earth_nm: int) -> None:
        self.job = job
        self.skies: dict[int, tuple[Ints, Ints]] = {}
        self.turns: list[int] = []
        self.of: list[list[int]] = []
        found: list[tuple[Profile, int, int]] = []
        width = job.columns * GRID_NM
        wall = max(WALL_NM, round((FENCE_MM / 2 + dict(job.kinds)["0V"].track.clear_mm) * 1e6))
        for seat in job.parts:
            mine = []
            for turn in seat.rotations:
                profile = _profile(seat, turn, spread, earth_nm)
                first, tops, _, left, right = profile
                low = max(-first, math.ceil((wall - left) / GRID_NM))
                high = min(job.columns - first - len(tops), math.floor((width - wall - right) / GRID_NM))
                if low <= high:
                    mine.append(len(found))
                    found.append((profile, low, high))
                    self.turns.append(turn)
            self.of.append(mine)
        self.fits = all(self.of)
        if self.fits:
            self._tables(found)
            self._wires()

    def _tables(self, found: list[tuple[Profile, int, int]]) -> None:
        job = self.job
        self.wide = max(len(profile[1]) for profile, _, _ in found)
        self.tops, self.feet = np.full((2, self.wide, len(found)), NOTHING, np.int32)
        for line, (profile, _, _) in enumerate(found):
            self.tops[: len(profile[1]), line] = profile[1]
            self.feet[: len(profile[2]), line] = profile[2]
        self.first = np.array([p[0] for p, _, _ in found], np.int32)
        start = np.arange(job.columns + 1, dtype=np.int32)
        origin = start[None, :] - self.first[:, None]
        low, high = (np.array([each[n] for each in found], np.int32)[:, None] for n in (1, 2))
        shut = np.where((origin < low) | (origin > high), 10**6 * SIDES, 0).astype(np.int32)
        # what counts against each place of a form that keeps to the left, and of one that keeps to the right
        self.against = np.stack([shut + start, shut + (SIDES - 1 - start)])
        self.rails = self._off_rails() if job.rails_to else None

    def _off_rails(self) -> Ints:
        """For each form and row the first row from there on in which no land lies in the rails."""
        job = self.job
        last = -(-job.rails_nm[1] // GRID_NM) + 2 * self.wide
        table = []
        for seat, mine in zip(job.parts, self.of, strict=True):
            for index in mine:
                hit = {
                    row
                    for _, low, _, top in seat.form(self.turns[index]).land_boxes
                    for row in range((job.rails_nm[0] + low) // GRID_NM + 1, -(-(job.rails_nm[1] + top) // GRID_NM))
                }
                rows = [last]
                for row in range(last - 1, -1, -1):
                    rows.append(rows[-1] if row in hit else row)
                table.append(rows[::-1])
        return np.array(table, np.int32)

    def _wires(self) -> None:
        """The ends of each net: pads by seat and number, and what is given."""
        job = self.job
        most = max(len(seat.nets) for seat in job.parts)
        self.spots = np.zeros((2, len(self.turns), most))
        for seat, mine in zip(job.parts, self.of, strict=True):
            for index in mine:
                for number, pad in enumerate(seat.form(self.turns[index]).pads):
                    self.spots[:, index, number] = pad.x_nm / GRID_NM, pad.y_nm / GRID_NM
        places = [(number, each) for number, seat in enumerate(job.parts) for each in range(len(seat.nets))]
        self.pads = np.array(places, np.intp).reshape(-1, 2).T
        ends: dict[Token, list[int]] = {}
        for place, (number, each) in enumerate(places):
            net = job.parts[number].nets[each]
            if net is not None:
                ends.setdefault(net, []).append(place)
        self.zero = np.array(ends.pop(ZERO, []), np.intp)
        # given ends: column and row of ports, the row alone of rails; row -1 is the foot
        given_x: dict[Token, list[float]] = {}
        given_y: dict[Token, list[float]] = {}
        for ports, row in ((job.above, 0.0), (job.below, -1.0)):
            for port in ports:
                given_x.setdefault(port.net, []).append(port.column)
                given_y.setdefault(port.net, []).append(row)
        for drawn in job.drawn:
            given_y.setdefault(drawn.net, []).append(drawn.start[1])
        self.ends = np.array([place for net in ends for place in ends[net]], np.intp)
        self.starts = np.cumsum([0, *map(len, ends.values())])[:-1]
        columns = [given_x.get(net, []) for net in ends]
        rows = [[y for y in given_y.get(net, []) if y >= 0] for net in ends]
        self.bounds_x, self.bounds_y = _bounds(columns), _bounds(rows)
        self.at_foot = np.array([[-1.0 in given_y.get(net, [])] for net in ends], bool).reshape(-1, 1)
        self._doors()

    def _doors(self) -> None:
        """What would stand in a port's way: the pads of other nets, and how near they may come; ports above first."""
        job = self.job
        kinds = dict(job.kinds)
        ends: list[tuple[int, float, float]] = []
        counts = []
        for ports in (job.above, job.below):
            for port in ports:
                track = kinds[port.net[0]].track
                ends += [
                    (place, port.column, (half + track.half_mm + track.clear_mm) * 1e6 / GRID_NM)
                    for place, (net, hole, half) in enumerate(self._pads())
                    if net != port.net and (hole or port.side == 0)
                ]
            counts.append(len(ends))
        self.head = counts[0]
        self.door_pads = np.array([end[0] for end in ends], np.intp)
        self.door_columns, reach = (np.array([end[n] for end in ends], float)[:, None] for n in (1, 2))
        self.door_reach = reach * reach

    def _pads(self) -> Iterator[tuple[Token | None, bool, float]]:
        """Net of each pad of each seat, whether it has a hole, and half its longer side in millimetres."""
        for seat in self.job.parts:
            for pad, net in zip(seat.footprint.pads, seat.nets, strict=True):
                yield net, bool(pad.hole_nm), max(pad.width_nm, pad.height_nm) / 2e6

    def _shut_doors(self, x: Floats, y: Floats, rows: Ints) -> Ints:
        """Rows that must be added because a pad stands too near to where a net crosses the edge."""
        away = y[self.door_pads]
        np.subtract(rows, away[self.head :], out=away[self.head :])
        away = np.maximum(away - 1, 0)
        across = x[self.door_pads] - self.door_columns
        hit = across * across + away * away < self.door_reach
        both = hit[: self.head].any(axis=0).astype(np.int32) + hit[self.head :].any(axis=0)
        return np.asarray(DOOR_ROWS * both, np.int32)

    def _sky(self, many: int) -> tuple[Ints, Ints]:
        """What is filled so far, by line and column, and a view of it in windows as wide as the widest part."""
        if many not in self.skies:
            sky = np.zeros((many, self.job.columns + self.wide), np.int32)
            windows = np.lib.stride_tricks.sliding_window_view(sky, self.wide, axis=1, writeable=True)
            self.skies[many] = sky, windows.transpose(2, 0, 1)
        return self.skies[many]

    def drop(self, forms: Ints, order: Ints, right: NDArray[np.bool_]) -> Dropped:
        """Many arrangements: by seat and line the form, and whether it keeps to the right; by step and line the seat.

        Columns of the window come before lines, and lines before starts: numpy is quickest along what lies together.
        """
        sky, windows = self._sky(forms.shape[1])
        sky[:] = 0
        lines = np.arange(forms.shape[1])
        form = forms[order, lines]
        against = self.against[right[order, lines].astype(np.intp), form]
        # a row is what is filled, rounded up
        tops, feet, firsts = self.tops[:, form] + (GRID_NM - 1), self.feet[:, form], self.first[form]
        best, depth, reach = np.empty_like(forms), np.empty_like(forms), np.empty(windows.shape, np.int32)
        for step, mine in enumerate(form):
            np.add(windows, tops[:, step, :, None], out=reach)
            row = np.maximum(np.maximum.reduce(reach) // GRID_NM, 0)
            if self.rails is not None:
                last = self.rails.shape[1] - 1
                row = np.maximum(self.rails[mine[:, None], np.minimum(row, last)], row)
            best[step] = here = (row * SIDES + against[step]).argmin(axis=1)
            depth[step] = row[lines, here]
            windows[:, lines, here] = np.maximum(windows[:, lines, here], depth[step] * GRID_NM + feet[:, step])
        # no less than the rails cover
        rows = np.maximum(-(-sky.max(axis=1) // GRID_NM), -(-self.job.rails_nm[1] // GRID_NM)).astype(np.int32)
        columns, depths = np.empty_like(forms), np.empty_like(forms)
        columns[order, lines], depths[order, lines] = best - firsts, depth
        seats, pads = self.pads
        x, y = self.spots[:, forms[seats], pads[:, None]]
        x, y = columns[seats] + x, depths[seats] - y
        return Dropped(rows + self._shut_doors(x, y, rows), rows, self._wire(x, y, rows), columns, depths)

    def _wire(self, x: Floats, y: Floats, rows: Ints) -> Floats:
        """Half the circumference of each net, in columns; 0V only needs the nearer fence."""
        many, zero = x.shape[1], x[self.zero]
        total = np.minimum(zero, self.job.columns - zero).sum(axis=0)
        if not len(self.starts):
            return np.asarray(total)
        ends = np.concatenate([x, y], axis=1)[self.ends]
        least = np.minimum.reduceat(ends, self.starts)
        most = np.maximum.reduceat(ends, self.starts)
        left, top = np.minimum(least[:, :many], self.bounds_x[0]), np.minimum(least[:, many:], self.bounds_y[0])
        far, low = np.maximum(most[:, :many], self.bounds_x[1]), np.maximum(most[:, many:], self.bounds_y[1])
        np.maximum(low, rows, out=low, where=self.at_foot)
        return np.asarray(total + np.ascontiguousarray((far - left + low - top).T).sum(axis=1))


def _bounds(given: Sequence[Sequence[float]]) -> Floats:
    """The least and the most that is given for each net, one net a line; what bounds nothing where nothing is."""
    found = [(min(each, default=FAR), max(each, default=-FAR)) for each in given]
    return np.array(found, float).reshape(-1, 2).T[:, :, None]
