"""Finds places for the parts of a cell: each as high as it can go, tried in several orders and turns."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from functools import lru_cache

from boardgen.board.job import EARTH, ZERO, Job, SeatJob, Token
from boardgen.board.shape import grown, shape
from boardgen.model.part import Footprint

GRID_NM = 635_000
WALL_NM = 780_000
"""From the centre-line of the fence to the nearest other land: half the fence and a clearance."""
TRIALS, FEW_TRIALS = 12, 3
"""Trials for each part: to place it, and only to judge how much room a cell needs."""
ROW_COST = 4.0
"""What a row of height costs against a column of wire."""
Place = tuple[int, int, int]
Profile = tuple[int, tuple[tuple[int, int, int], ...], tuple[int, ...], int, int]


@lru_cache(maxsize=8192)
def _profile(footprint: Footprint, turn: int, spread: int, earth: tuple[int, ...], earth_nm: int) -> Profile:
    """First column, runs of one upper edge, lower edge in each column, and how far lands reach left and right.

    A run is its first column, the column after it, and the edge.
    """
    form = shape(footprint, turn)
    boxes = [grown(box, spread) for box in form.courtyard]
    lands = list(form.land_boxes)
    for index in earth:
        lands[index] = grown(lands[index], earth_nm)
        boxes.append(lands[index])
    first = math.floor(min(b[0] for b in boxes) / GRID_NM)
    last = math.ceil(max(b[2] for b in boxes) / GRID_NM)
    tops, feet = [], []
    for column in range(first, last):
        left, right = column * GRID_NM, (column + 1) * GRID_NM
        here = [b for b in boxes if b[0] < right and b[2] > left]
        tops.append(max((b[3] for b in here), default=-(10**12)))
        feet.append(min((b[1] for b in here), default=10**12))
    runs: list[tuple[int, int, int]] = []
    for offset, top in enumerate(tops):
        if runs and runs[-1][2] == top:
            runs[-1] = (runs[-1][0], offset + 1, top)
        else:
            runs.append((offset, offset + 1, top))
    return first, tuple(runs), tuple(feet), min(b[0] for b in lands), max(b[2] for b in lands)


@lru_cache(maxsize=8192)
def pack(job: Job, spread_nm: int, earth_nm: int, trials: int) -> tuple[int, tuple[Place, ...]] | None:
    """Rows taken and the place of every seat; None where a part is too wide for the cell."""
    if all(seat.fixed for seat in job.seats):
        return job.rows, tuple(seat.fixed for seat in job.seats if seat.fixed)
    best = _trials(job, spread_nm, earth_nm).after(trials * min(len(job.seats), 6))
    return None if best is None else best[1:]


Packed = tuple[float, int, tuple[Place, ...]]
"""Cost, rows, and the place of every seat."""


@lru_cache(maxsize=8192)
def _trials(job: Job, spread_nm: int, earth_nm: int) -> _Trials:
    return _Trials(job, spread_nm, earth_nm)


class _Trials:
    """Packings of one cell tried one after the other, as far as anybody asked; each starts from the best so far."""

    def __init__(self, job: Job, spread_nm: int, earth_nm: int) -> None:
        self.job, self.spread_nm, self.earth_nm = job, spread_nm, earth_nm
        self.chance = random.Random(1)  # noqa: S311 - a fixed sequence, so that the same job is always laid out the same
        self.order = list(range(len(job.seats)))
        self.turns = [seat.turns[0] for seat in job.seats]
        self.best: list[Packed | None] = []
        self.known: dict[tuple[tuple[int, ...], tuple[int, ...]], Packed | None] = {}
        self.profiles: dict[tuple[int, int], Profile] = {}

    def after(self, trials: int) -> Packed | None:
        """The best of so many trials."""
        while len(self.best) < trials:
            self._try()
        return self.best[trials - 1]

    def _profile(self, index: int, turn: int) -> Profile:
        found = self.profiles.get((index, turn))
        if found is None:
            seat = self.job.seats[index]
            earth = tuple(i for i, net in enumerate(seat.nets) if net == EARTH)
            found = self.profiles[index, turn] = _profile(seat.footprint, turn, self.spread_nm, earth, self.earth_nm)
        return found

    def _try(self) -> None:
        seats, chance = self.job.seats, self.chance
        count = len(seats)
        order, turns = list(self.order), list(self.turns)
        best = self.best[-1] if self.best else None
        if self.best:
            for _ in range(chance.choice((1, 1, 2))):
                index = chance.randrange(count)
                if chance.random() < 0.5 and count > 1:
                    other = chance.randrange(count)
                    order[index], order[other] = order[other], order[index]
                else:
                    turns[index] = chance.choice(seats[index].turns)
        key = tuple(order), tuple(turns)
        if key not in self.known:
            self.known[key] = _place(self.job, order, turns, self._profile)
        found = self.known[key]
        if found and (best is None or found[0] <= best[0]):
            best, self.order, self.turns = found, order, turns
        elif not self.best:
            self.turns = [chance.choice(seat.turns) for seat in seats]
        self.best.append(best)


def _place(
    job: Job, order: Sequence[int], turns: Sequence[int], profile: Callable[[int, int], Profile]
) -> Packed | None:
    """The parts put in this order, each as high as it goes; `profile` is that of a seat in a turn."""
    sky = [0] * job.columns
    width = job.columns * GRID_NM
    places: list[Place] = [(0, 0, 0)] * len(job.seats)
    for index in order:
        seat = job.seats[index]
        first, runs, feet, left, right = profile(index, turns[index])
        low = max(-first, math.ceil((WALL_NM - left) / GRID_NM))
        high = min(job.columns - first - len(feet), math.floor((width - WALL_NM - right) / GRID_NM))
        chosen: tuple[int, int] | None = None
        # only what comes to lie a row higher is of use
        limit = 1 << 60
        for start in range(low + first, high + first + 1):
            depth = 0
            for since, until, top in runs:
                here = max(sky[start + since : start + until]) + top
                if here > limit:
                    break
                if here > depth:
                    depth = here
            else:
                row = -(-depth // GRID_NM)
                if job.rails_to:
                    row = _off_rails(seat.footprint, turns[index], row, job.rails_nm)
                if chosen is None or row < chosen[0]:
                    chosen = row, start - first
                    limit = (row - 1) * GRID_NM
        if chosen is None:
            return None
        row, column = chosen
        start = column + first
        for offset, foot in enumerate(feet):
            sky[start + offset] = max(sky[start + offset], row * GRID_NM - foot)
        places[index] = (column, row, turns[index])
    rows = -(-max(sky) // GRID_NM)
    return ROW_COST * rows + _wire(job, places, rows), rows, tuple(places)


def _off_rails(footprint: Footprint, turn: int, row: int, rails_nm: tuple[int, int]) -> int:
    """The first row from this one on in which no land lies in the rails."""
    boxes = shape(footprint, turn).land_boxes
    while any(row * GRID_NM - top < rails_nm[1] and row * GRID_NM - low > rails_nm[0] for _, low, _, top in boxes):
        row += 1
    return row


def _wire(job: Job, places: list[Place], rows: int) -> float:
    """Half the circumference of each net, in columns; 0V only needs the nearer fence."""
    boxes: dict[Token, list[float]] = {}
    total = 0.0
    for port, row in [(p, 0) for p in job.above] + [(p, rows) for p in job.below]:
        _stretch(boxes, port.net, port.column, row)
    for drawn in job.drawn:
        if not drawn.wall:
            _stretch(boxes, drawn.net, None, drawn.start[1])
    for seat, (column, row, turn) in zip(job.seats, places, strict=True):
        for (x, y), net in zip(_spots(seat, turn), seat.nets, strict=True):
            if net == ZERO:
                total += min(column + x, job.columns - column - x)
            elif net is not None:
                _stretch(boxes, net, column + x, row - y)
    return total + sum(box[1] - box[0] + box[3] - box[2] for box in boxes.values())


@lru_cache(maxsize=8192)
def _spots_of(footprint: Footprint, turn: int) -> tuple[tuple[float, float], ...]:
    return tuple((p.x_nm / GRID_NM, p.y_nm / GRID_NM) for p in shape(footprint, turn).pads)


def _spots(seat: SeatJob, turn: int) -> tuple[tuple[float, float], ...]:
    return _spots_of(seat.footprint, turn)


def _stretch(boxes: dict[Token, list[float]], net: Token, column: float | None, row: float) -> None:
    box = boxes.get(net)
    if column is None:
        column = box[0] if box else 0.0
    if box is None:
        boxes[net] = [column, column, row, row]
        return
    if column < box[0]:
        box[0] = column
    elif column > box[1]:
        box[1] = column
    if row < box[2]:
        box[2] = row
    elif row > box[3]:
        box[3] = row
