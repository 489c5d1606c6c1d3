"""Packs the parts of a cell from its top in many orders at once: each as high as it can go, and what wire that takes.

Algorithm: skyline packing (bottom-left, with the cell upside down; the heuristic of Baker, Coffman and Rivest, 1980,
recalled). The skyline is how far each column of the grid is filled; a part, given in an order and a rotation, goes
where its own upper outline comes to lie highest, at the left or at the right. Wire is half the circumference of the box
about each net's ends. Cost: O(parts x columns x width of the widest part) an arrangement; numpy does a few dozen at
once, which is what a hill climber asks for.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from boardgen.board.cell_task import EARTH, ZERO, CellTask, LocalNet, PartTask
from boardgen.board.rotated_footprint import grown
from boardgen.board.rules import GRID_NM, GUARD_NM

GUARD_TO_PAD_NM = 780_000
"""From the middle of the guard trace to the nearest other pad: half the trace and a clearance."""
NOTHING = -(10**9)
"""Edge of an outline in a column in which the part has nothing."""
PIN_ROWS = 2
"""Rows that it takes to clear an edge pin of the pads before it."""
FAR = 1e9
"""Beyond every column and row."""
MOST_COLUMNS = 128
"""More than the columns of any cell."""
Ints = NDArray[np.int32]
Floats = NDArray[np.float64]


class Outline(NamedTuple):
    """A part in one rotation by columns of the grid.

    First column about the origin; upper and lower edge in each column and how far pads reach left and right, in
    nanometres about the origin, edges upwards and downwards.
    """

    first: int
    tops: tuple[int, ...]
    feet: tuple[int, ...]
    left: int
    right: int


@lru_cache(maxsize=8192)
def _outline(part: PartTask, rotation: int, spread_nm: int, earth_nm: int) -> Outline:
    footprint = part.rotated(rotation)
    boxes = [grown(box, spread_nm) for box in footprint.courtyard]
    pads = list(footprint.pad_boxes)
    for index, net in enumerate(part.nets):
        if net == EARTH:
            pads[index] = grown(pads[index], earth_nm)
            boxes.append(pads[index])
    first, last = min(b[0] for b in boxes) // GRID_NM, -(-max(b[2] for b in boxes) // GRID_NM)
    tops, feet = [NOTHING] * (last - first), [NOTHING] * (last - first)
    for left, low, right, top in boxes:
        for column in range(left // GRID_NM - first, -(-right // GRID_NM) - first):
            tops[column] = max(tops[column], top)
            feet[column] = max(feet[column], -low)
    return Outline(first, tuple(tops), tuple(feet), min(b[0] for b in pads), max(b[2] for b in pads))


class Packings(NamedTuple):
    """Many arrangements.

    score, rows, wire : (arrangements,) rows counted against each, rows taken, and wire in columns
    columns, depths : (parts, arrangements) column and row of each part's origin
    """

    score: Ints
    rows: Ints
    wire: Floats
    columns: Ints
    depths: Ints


class FittingRotation(NamedTuple):
    """A part in a rotation that fits the width of the cell: its outline, and least and most column of its origin."""

    rotation: int
    outline: Outline
    low: int
    high: int


class Skyline:
    """The parts of a cell in every rotation that fits its width, as arrays; packs many arrangements at once.

    `rotations` are all parts in all their rotations, `of_part` the numbers of each part's among them.
    """

    def __init__(self, task: CellTask, spread_nm: int) -> None:
        self.task = task
        self.skylines: dict[int, tuple[Ints, Ints]] = {}
        self.rotations: list[FittingRotation] = []
        self.of_part: list[list[int]] = []
        classes = dict(task.net_classes)
        edge_nm = max(GUARD_TO_PAD_NM, GUARD_NM // 2 + classes["0V"].track.clearance_nm)
        for part in task.parts:
            mine = [*_fitting_rotations(task, part, spread_nm, edge_nm, classes["earth"].track.clearance_nm)]
            self.of_part.append([*range(len(self.rotations), len(self.rotations) + len(mine))])
            self.rotations += mine
        self.fits = all(self.of_part)
        if self.fits:
            self._tabulate_outlines()
            self._tabulate_wires()
            self._tabulate_edge_pins()

    def _tabulate_outlines(self) -> None:
        columns, rotations = self.task.columns, self.rotations
        self.wide = max(len(rotation.outline.tops) for rotation in rotations)
        self.tops, self.feet = np.full((2, self.wide, len(rotations)), NOTHING, np.int32)
        for number, rotation in enumerate(rotations):
            self.tops[: len(rotation.outline.tops), number] = rotation.outline.tops
            self.feet[: len(rotation.outline.feet), number] = rotation.outline.feet
        self.first = np.array([rotation.outline.first for rotation in rotations], np.int32)
        start = np.arange(columns + 1, dtype=np.int32)
        origin = start[None, :] - self.first[:, None]
        low, high = np.array([(rotation.low, rotation.high) for rotation in rotations], np.int32).T[:, :, None]
        blocked = np.where((origin < low) | (origin > high), 10**6 * MOST_COLUMNS, 0).astype(np.int32)
        # what counts against each place of a part that keeps to the left, and of one that keeps to the right
        self.against = np.stack([blocked + start, blocked + (MOST_COLUMNS - 1 - start)])
        self.off_bus = self._tabulate_rows_off_bus() if self.task.bus_to else None

    def _tabulate_rows_off_bus(self) -> Ints:
        """For each rotation and row the first row from there on in which no pad lies in the bus."""
        top_nm, foot_nm = self.task.bus_nm
        last = -(-foot_nm // GRID_NM) + 2 * self.wide
        table = []
        for part, mine in zip(self.task.parts, self.of_part, strict=True):
            for number in mine:
                hit = {
                    row
                    for _, low, _, top in part.rotated(self.rotations[number].rotation).pad_boxes
                    for row in range((top_nm + low) // GRID_NM + 1, -(-(foot_nm + top) // GRID_NM))
                }
                rows = [last]
                for row in range(last - 1, -1, -1):
                    rows.append(rows[-1] if row in hit else row)
                table.append(rows[::-1])
        return np.array(table, np.int32)

    def _tabulate_wires(self) -> None:
        """The ends of each net: pads by part and number, and what is given."""
        task = self.task
        most = max(len(part.nets) for part in task.parts)
        self.pad_at = np.zeros((2, len(self.rotations), most))
        for part, mine in zip(task.parts, self.of_part, strict=True):
            for rotation in mine:
                for number, pad in enumerate(part.rotated(self.rotations[rotation].rotation).pads):
                    self.pad_at[:, rotation, number] = pad.x_nm / GRID_NM, pad.y_nm / GRID_NM
        pads = [(index, number) for index, part in enumerate(task.parts) for number in range(len(part.nets))]
        self.pads = np.array(pads, np.intp).reshape(-1, 2).T
        ends: dict[LocalNet, list[int]] = {}
        for place, (index, number) in enumerate(pads):
            net = task.parts[index].nets[number]
            if net is not None:
                ends.setdefault(net, []).append(place)
        self.zero = np.array(ends.pop(ZERO, []), np.intp)
        given_x, given_y = _given_ends(task)
        self.ends = np.array([place for net in ends for place in ends[net]], np.intp)
        self.starts = np.cumsum([0, *map(len, ends.values())])[:-1]
        columns = [given_x.get(net, []) for net in ends]
        rows = [[y for y in given_y.get(net, []) if y >= 0] for net in ends]
        self.bounds_x, self.bounds_y = _bounds(columns), _bounds(rows)
        self.at_foot = np.array([[-1.0 in given_y.get(net, [])] for net in ends], bool).reshape(-1, 1)

    def _tabulate_edge_pins(self) -> None:
        """What would stand in an edge pin's way: the pads of other nets, and how near they may come; above first."""
        task = self.task
        classes = dict(task.net_classes)
        ends: list[tuple[int, float, float]] = []
        counts = []
        for pins in (task.above, task.below):
            for pin in pins:
                track = classes[pin.net[0]].track
                ends += [
                    (place, pin.column, (half + track.half_nm + track.clearance_nm) / GRID_NM)
                    for place, (net, has_hole, half) in enumerate(_pads(task))
                    if net != pin.net and (has_hole or pin.side == 0)
                ]
            counts.append(len(ends))
        self.above = counts[0]
        self.pin_pads = np.array([end[0] for end in ends], np.intp)
        self.pin_columns, reach = (np.array([end[n] for end in ends], float)[:, None] for n in (1, 2))
        self.pin_reach = reach * reach

    def _rows_for_pins(self, x: Floats, y: Floats, rows: Ints) -> Ints:
        """Rows that must be added because a pad stands too near to where a net crosses the edge."""
        away = y[self.pin_pads]
        np.subtract(rows, away[self.above :], out=away[self.above :])
        away = np.maximum(away - 1, 0)
        across = x[self.pin_pads] - self.pin_columns
        hit = across * across + away * away < self.pin_reach
        both = hit[: self.above].any(axis=0).astype(np.int32) + hit[self.above :].any(axis=0)
        return np.asarray(PIN_ROWS * both, np.int32)

    def _empty(self, many: int) -> tuple[Ints, Ints]:
        """What is filled so far, by arrangement and column, and a view of it in windows as wide as the widest part."""
        if many not in self.skylines:
            skyline = np.zeros((many, self.task.columns + self.wide), np.int32)
            windows = np.lib.stride_tricks.sliding_window_view(skyline, self.wide, axis=1, writeable=True)
            self.skylines[many] = skyline, windows.transpose(2, 0, 1)
        return self.skylines[many]

    def pack(self, rotations: Ints, order: Ints, right: NDArray[np.bool_]) -> Packings:
        """Many arrangements packed.

        Parameters
        ----------
        rotations : (parts, arrangements) number of the rotation of each part
        order : (parts, arrangements) number of the part that comes at each step
        right : (parts, arrangements) whether each part keeps to the right

        """
        # columns of the window come before arrangements, and these before places: numpy is quickest along what lies
        # together
        skyline, windows = self._empty(rotations.shape[1])
        skyline[:] = 0
        lines = np.arange(rotations.shape[1])
        chosen = rotations[order, lines]
        against = self.against[right[order, lines].astype(np.intp), chosen]
        # a row is what is filled, rounded up
        tops, feet, firsts = self.tops[:, chosen] + (GRID_NM - 1), self.feet[:, chosen], self.first[chosen]
        best, depth, reach = np.empty_like(rotations), np.empty_like(rotations), np.empty(windows.shape, np.int32)
        for step, mine in enumerate(chosen):
            np.add(windows, tops[:, step, :, None], out=reach)
            row = np.maximum(np.maximum.reduce(reach) // GRID_NM, 0)
            if self.off_bus is not None:
                last = self.off_bus.shape[1] - 1
                row = np.maximum(self.off_bus[mine[:, None], np.minimum(row, last)], row)
            best[step] = here = (row * MOST_COLUMNS + against[step]).argmin(axis=1)
            depth[step] = row[lines, here]
            windows[:, lines, here] = np.maximum(windows[:, lines, here], depth[step] * GRID_NM + feet[:, step])
        # no less than the bus covers
        rows = np.maximum(-(-skyline.max(axis=1) // GRID_NM), -(-self.task.bus_nm[1] // GRID_NM)).astype(np.int32)
        columns, depths = np.empty_like(rotations), np.empty_like(rotations)
        columns[order, lines], depths[order, lines] = best - firsts, depth
        parts, pads = self.pads
        x, y = self.pad_at[:, rotations[parts], pads[:, None]]
        x, y = columns[parts] + x, depths[parts] - y
        return Packings(rows + self._rows_for_pins(x, y, rows), rows, self._wire(x, y, rows), columns, depths)

    def _wire(self, x: Floats, y: Floats, rows: Ints) -> Floats:
        """Half the circumference of each net, in columns; 0V only needs the nearer guard trace."""
        many, zero = x.shape[1], x[self.zero]
        total = np.minimum(zero, self.task.columns - zero).sum(axis=0)
        if not len(self.starts):
            return np.asarray(total)
        ends = np.concatenate([x, y], axis=1)[self.ends]
        least = np.minimum.reduceat(ends, self.starts)
        most = np.maximum.reduceat(ends, self.starts)
        left, top = np.minimum(least[:, :many], self.bounds_x[0]), np.minimum(least[:, many:], self.bounds_y[0])
        far, low = np.maximum(most[:, :many], self.bounds_x[1]), np.maximum(most[:, many:], self.bounds_y[1])
        np.maximum(low, rows, out=low, where=self.at_foot)
        return np.asarray(total + np.ascontiguousarray((far - left + low - top).T).sum(axis=1))


def _fitting_rotations(
    task: CellTask, part: PartTask, spread_nm: int, edge_nm: int, earth_nm: int
) -> Iterator[FittingRotation]:
    """A part in each rotation that fits between the guard traces."""
    width = task.columns * GRID_NM
    for rotation in part.rotations:
        outline = _outline(part, rotation, spread_nm, earth_nm)
        low = max(-outline.first, math.ceil((edge_nm - outline.left) / GRID_NM))
        high = task.columns - outline.first - len(outline.tops)
        high = min(high, math.floor((width - edge_nm - outline.right) / GRID_NM))
        if low <= high:
            yield FittingRotation(rotation, outline, low, high)


def _given_ends(task: CellTask) -> tuple[dict[LocalNet, list[float]], dict[LocalNet, list[float]]]:
    """By net, columns and rows of what is given: both of edge pins, the row alone of segments; row -1 is the foot."""
    columns: dict[LocalNet, list[float]] = {}
    rows: dict[LocalNet, list[float]] = {}
    for pins, row in ((task.above, 0.0), (task.below, -1.0)):
        for pin in pins:
            columns.setdefault(pin.net, []).append(pin.column)
            rows.setdefault(pin.net, []).append(row)
    for segment in task.segments:
        rows.setdefault(segment.net, []).append(segment.start[1] / GRID_NM)
    return columns, rows


def _pads(task: CellTask) -> Iterator[tuple[LocalNet | None, bool, float]]:
    """Net of each pad of each part, whether it has a hole, and half its longer side in nanometres."""
    for part in task.parts:
        for pad, net in zip(part.footprint.pads, part.nets, strict=True):
            yield net, bool(pad.hole_nm), max(pad.width_nm, pad.height_nm) / 2


def _bounds(given: Sequence[Sequence[float]]) -> Floats:
    """The least and the most that is given for each net, one net a line; what bounds nothing where nothing is."""
    found = [(min(each, default=FAR), max(each, default=-FAR)) for each in given]
    return np.array(found, float).reshape(-1, 2).T[:, :, None]
