"""Drops the parts of a cell into it in many orders at once: each as high as it can go, and what wire that takes."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from boardgen.board.job import EARTH, ZERO, Job, SeatJob, Token
from boardgen.board.shape import grown

GRID_NM = 635_000
WALL_NM = 780_000
"""From the centre-line of the fence to the nearest other land: half the fence and a clearance."""
NOTHING = -(10**9)
"""Where a form has nothing in a column."""
DOOR_ROWS = 2
"""Rows that it takes to clear a port of the pads before it."""
SIDES = 128
"""More than the columns of any cell."""
Ints = NDArray[np.int32]
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
    first = math.floor(min(b[0] for b in boxes) / GRID_NM)
    last = math.ceil(max(b[2] for b in boxes) / GRID_NM)
    tops, feet = [], []
    for column in range(first, last):
        left, right = column * GRID_NM, (column + 1) * GRID_NM
        here = [b for b in boxes if b[0] < right and b[2] > left]
        tops.append(max((b[3] for b in here), default=NOTHING))
        feet.append(max((-b[1] for b in here), default=NOTHING))
    return first, tuple(tops), tuple(feet), min(b[0] for b in lands), max(b[2] for b in lands)


@dataclass(frozen=True)
class Dropped:
    """Many arrangements: rows counted against each, rows taken, and wire; column and row of each of its seats."""

    score: Ints
    rows: Ints
    wire: NDArray[np.float64]
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
        for seat in job.seats:
            mine = []
            for turn in seat.turns:
                profile = _profile(seat, turn, spread, earth_nm)
                first, tops, _, left, right = profile
                low = max(-first, math.ceil((WALL_NM - left) / GRID_NM))
                high = min(job.columns - first - len(tops), math.floor((width - WALL_NM - right) / GRID_NM))
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
        self.tops, self.feet = np.full((2, len(found), self.wide), NOTHING, np.int32)
        for line, (profile, _, _) in enumerate(found):
            self.tops[line, : len(profile[1])] = profile[1]
            self.feet[line, : len(profile[2])] = profile[2]
        self.first = np.array([p[0] for p, _, _ in found], np.int32)
        start = np.arange(job.columns + 1, dtype=np.int32)
        origin = start[None, :] - self.first[:, None]
        low, high = (np.array([each[n] for each in found], np.int32)[:, None] for n in (1, 2))
        self.shut = np.where((origin < low) | (origin > high), 10**6, 0).astype(np.int32)
        self.rails = self._off_rails() if job.rails_to else None

    def _off_rails(self) -> Ints:
        """For each form and row the first row from there on in which no land lies in the rails."""
        job = self.job
        last = -(-job.rails_nm[1] // GRID_NM) + 2 * self.wide
        table = []
        for seat, mine in zip(job.seats, self.of, strict=True):
            for index in mine:
                boxes = seat.form(self.turns[index]).land_boxes
                rows = [last]
                for row in range(last - 1, -1, -1):
                    hit = any(
                        row * GRID_NM - top < job.rails_nm[1] and row * GRID_NM - low > job.rails_nm[0]
                        for _, low, _, top in boxes
                    )
                    rows.append(rows[-1] if hit else row)
                table.append(rows[::-1])
        return np.array(table, np.int32)

    def _wires(self) -> None:
        """The ends of each net: pads by seat and number, and what is given."""
        job = self.job
        most = max(len(seat.nets) for seat in job.seats)
        self.spots = np.zeros((2, len(self.turns), most))
        for seat, mine in zip(job.seats, self.of, strict=True):
            for index in mine:
                for number, pad in enumerate(seat.form(self.turns[index]).pads):
                    self.spots[:, index, number] = pad.x_nm / GRID_NM, pad.y_nm / GRID_NM
        ends: dict[Token, list[tuple[int, int]]] = {}
        self.zero: list[tuple[int, int]] = []
        for number, seat in enumerate(job.seats):
            for pad_number, net in enumerate(seat.nets):
                if net == ZERO:
                    self.zero.append((number, pad_number))
                elif net is not None:
                    ends.setdefault(net, []).append((number, pad_number))
        # given ends: column and row of ports, the row alone of rails; row -1 is the foot
        given_x: dict[Token, list[float]] = {}
        given_y: dict[Token, list[float]] = {}
        for ports, row in ((job.above, 0.0), (job.below, -1.0)):
            for port in ports:
                given_x.setdefault(port.net, []).append(port.column)
                given_y.setdefault(port.net, []).append(row)
        for drawn in job.drawn:
            given_y.setdefault(drawn.net, []).append(drawn.start[1])
        nets = list(ends)
        self.pads = [np.array([end[n] for net in nets for end in ends[net]], np.intp) for n in (0, 1)]
        self.starts = np.cumsum([0, *(len(ends[net]) for net in nets)][:-1])
        big = 1e9
        self.bounds_x = np.array([
            (min(given_x.get(net, [big])), max(given_x.get(net, [-big]))) for net in nets
        ]).reshape(-1, 2)  # fmt: skip
        rows = [[y for y in given_y.get(net, []) if y >= 0] for net in nets]
        self.bounds_y = np.array([(min(r, default=big), max(r, default=-big)) for r in rows]).reshape(-1, 2)
        self.at_foot = np.array([-1.0 in given_y.get(net, []) for net in nets], bool)
        self._doors()

    def _doors(self) -> None:
        """What would stand in a port's way: for each port the pads of other nets, and how near they may come."""
        job = self.job
        kinds = dict(job.kinds)
        self.doors: list[tuple[int, bool, NDArray[np.intp], NDArray[np.intp], NDArray[np.float64]]] = []
        for ports, at_foot in ((job.above, False), (job.below, True)):
            for port in ports:
                track = kinds[port.net[0]].track
                ends = [
                    (number, pad_number, max(pad.width_nm, pad.height_nm) / 2e6)
                    for number, seat in enumerate(job.seats)
                    for pad_number, (pad, net) in enumerate(zip(seat.footprint.pads, seat.nets, strict=True))
                    if net != port.net and (pad.hole_nm or port.side == 0)
                ]
                if ends:
                    seats, pads, half = (np.array(each) for each in zip(*ends, strict=True))
                    reach = (half + track.half_mm + track.clear_mm) * 1e6 / GRID_NM
                    self.doors.append((port.column, at_foot, seats, pads, reach))

    def _shut_doors(self, forms: Ints, columns: Ints, depths: Ints, rows: Ints) -> Ints:
        """Rows that must be added because a pad stands too near to where a net crosses the edge."""
        found = np.zeros((2, len(forms)), bool)
        for column, at_foot, seats, pads, reach in self.doors:
            x = columns[:, seats] + self.spots[0, forms[:, seats], pads] - column
            y = depths[:, seats] - self.spots[1, forms[:, seats], pads]
            away = np.maximum((rows[:, None] - y if at_foot else y) - 1, 0)
            found[int(at_foot)] |= ((x * x + away * away) < reach * reach).any(axis=1)
        return np.asarray(DOOR_ROWS * found.sum(axis=0), np.int32)

    def _sky(self, many: int) -> tuple[Ints, Ints]:
        """What is filled so far, by line and column, and a view of it in windows as wide as the widest part."""
        if many not in self.skies:
            sky = np.zeros((many, self.job.columns + self.wide), np.int32)
            self.skies[many] = sky, np.lib.stride_tricks.sliding_window_view(sky, self.wide, axis=1)
        return self.skies[many]

    def drop(self, forms: Ints, order: Ints, right: NDArray[np.bool_]) -> Dropped:
        """Arrangements one a line: the form of each seat, the seats in turn, and which seats keep to the right."""
        job, many = self.job, len(forms)
        lines = np.arange(many)
        sky, windows = self._sky(many)
        sky[:] = 0
        columns, depths = np.zeros_like(forms), np.zeros_like(forms)
        start = np.arange(windows.shape[1], dtype=np.int32)
        offsets = np.arange(self.wide)
        for step in range(forms.shape[1]):
            seat = order[:, step]
            form = forms[lines, seat]
            depth = (windows + self.tops[form][:, None, :]).max(axis=2)
            row = np.maximum(-(-depth // GRID_NM), 0)
            if self.rails is not None:
                table = self.rails[form]
                last = table.shape[1] - 1
                row = np.maximum(table[lines[:, None], np.minimum(row, last)], row)
            tie = np.where(right[lines, seat][:, None], SIDES - 1 - start, start)
            best = ((row + self.shut[form]) * SIDES + tie).argmin(axis=1)
            depth_row = row[lines, best]
            columns[lines, seat] = best - self.first[form]
            depths[lines, seat] = depth_row
            spot = best[:, None] + offsets
            here = depth_row[:, None] * GRID_NM + self.feet[form]
            sky[lines[:, None], spot] = np.maximum(sky[lines[:, None], spot], here)
        # no less than the rails cover
        rows = np.maximum(-(-sky.max(axis=1) // GRID_NM), -(-job.rails_nm[1] // GRID_NM)).astype(np.int32)
        score = rows + self._shut_doors(forms, columns, depths, rows)
        return Dropped(score, rows, self._wire(forms, columns, depths, rows), columns, depths)

    def _wire(self, forms: Ints, columns: Ints, depths: Ints, rows: Ints) -> NDArray[np.float64]:
        """Half the circumference of each net, in columns; 0V only needs the nearer fence."""
        total = np.zeros(len(forms))
        for seat, pad in self.zero:
            x = columns[:, seat] + self.spots[0, forms[:, seat], pad]
            total += np.minimum(x, self.job.columns - x)
        if not len(self.starts):
            return total
        seats, pads = self.pads
        x = columns[:, seats] + self.spots[0, forms[:, seats], pads]
        y = depths[:, seats] - self.spots[1, forms[:, seats], pads]
        foot = np.where(self.at_foot, rows[:, None], -1e9)
        left = np.minimum(np.minimum.reduceat(x, self.starts, axis=1), self.bounds_x[:, 0])
        far = np.maximum(np.maximum.reduceat(x, self.starts, axis=1), self.bounds_x[:, 1])
        top = np.minimum(np.minimum.reduceat(y, self.starts, axis=1), self.bounds_y[:, 0])
        low = np.maximum(np.maximum(np.maximum.reduceat(y, self.starts, axis=1), self.bounds_y[:, 1]), foot)
        return np.asarray(total + (far - left + low - top).sum(axis=1))
