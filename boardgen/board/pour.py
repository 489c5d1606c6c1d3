"""0V copper between the tracks, made cell by cell; equal cells are filled once.

Algorithm: what the pour may fill, less the union of everything grown by its clearance and half a sliver, grown back by
half a sliver (a morphological opening, which leaves no slivers). Thermal relief: pads on 0V are kept off as well, and
joined by spokes, but for those that a surge takes or that no iron heats. Pieces are gathered in nanometres about the
upper left corner of the cell, y upwards, and handed to shapely (GEOS) in millimetres. Cost: unions and differences of a
few hundred pieces a cell, O(n log n).
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from functools import lru_cache
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from boardgen.board.cell_task import ZERO, CellTask, RoutedCell
from boardgen.board.rotated_footprint import Box, moved
from boardgen.board.router import guard_segments
from boardgen.board.rules import GRID_NM, VIA_PAD_NM
from boardgen.model.copper import SIDES, PointNm, Region

CLEARANCE_NM = 400_000
"""Between the pour and copper of other nets: twice the rule's, since nothing asks for less."""
SIGNAL_CLEARANCE_NM = 2_000_000
"""Kept free of pour beside and under the tracks of a signal: what lies nearer adds to the common mode's way to 0V."""
SLIVER_MM = 0.15
"""Half the width of what is too thin to keep."""
TIP_NM = 70_000
"""More than the clearance that copper of a surge asks for: a right-angled tip of pour may come nearer by so much."""
MITRE = 1.42
"""Right angles keep their corners; what is sharper is cut, since its tip could come near something else."""
NEXT_CELL_NM = 800_000
"""So far from the right edge the pour ends where there is no guard trace."""
TOUCH_MM = 1e-6
"""What shapely is given of a nanometre: outlines begin where they always did only on these very numbers."""
"""Sides of no more length would disturb what follows."""
SIMPLE_MM = 0.01
"""Outlines may be simpler by so much."""
SPOKE_MM, THERMAL_GAP_MM = 0.6, 0.5
"""Thermal relief: width of a spoke, and the gap about the pad."""
SPOKE_REACH_MM = 0.2
"""So far a spoke reaches into the pour."""
OVERLAP_MM = 0.02
"""The pour of neighbouring cells overlaps by so much, so that it is one piece of copper."""
LEAST_MM2 = 1.0
"""Smaller pieces are left out: a square millimetre."""
MM = 1e-6
"""What shapely is given of a nanometre: outlines begin where they always did only on these very numbers."""
ARC_SEGMENTS = 8
"""Straight pieces of a quarter of a circle."""
BOTH = 2
"""Copper of both sides, after that of side 0 and of side 1."""
Piece = tuple[int, tuple[PointNm, ...], tuple[tuple[PointNm, ...], ...]]
"""A piece of pour: its side, its outline, and clear areas inside."""

Window = tuple[float, float, float, float]
"""Left, low, right and high, in millimetres about the upper left corner of the cell."""

_Reached = tuple[NDArray[np.object_], NDArray[np.float64]]
"""Pieces, and how far each reaches."""


class _Arrays(NamedTuple):
    """What the pour keeps off, what is drawn of 0V, and its pads."""

    foreign: _Reached
    ground: _Reached
    pads: _Reached


def in_place(pieces: tuple[Piece, ...], left_nm: int, top_nm: int) -> list[Region]:
    """The pour of a cell in its place on the board."""
    found = []
    for side, outline, clear in pieces:
        rings = [tuple([(x + left_nm, y + top_nm) for x, y in ring]) for ring in (outline, *clear)]
        found.append(Region(SIDES[side], rings[0], tuple(rings[1:]), "0V"))
    return found


@lru_cache(maxsize=4096)
def poured(task: CellTask, routed: RoutedCell) -> tuple[Piece, ...]:
    """The pieces of pour of a cell, both sides: side, outline and clear areas about the cell's upper left corner."""
    if routed.rows <= task.guard_from + task.guard_to:
        return ()
    *of_sides, both = _copper(task, routed)
    common = both.arrays()
    taken = shapely.union_all(_grown(common))
    shapely.prepare(taken)
    window = left, low, right, high = _window(task, routed)
    inner = shapely.box(left + SLIVER_MM, low + SLIVER_MM, right - SLIVER_MM, high - SLIVER_MM)
    room = shapely.difference(inner, taken)
    return tuple(
        piece
        for side, mine in enumerate(of_sides)
        for piece in _side(side, window, mine.arrays(), common, (taken, room))
    )


def _window(task: CellTask, routed: RoutedCell) -> Window:
    """What the pour of a cell may fill: left, low, right, high."""
    right = task.columns * GRID_NM - (0 if task.guard_traces[1] or task.place == "bus" else NEXT_CELL_NM)
    foot = (routed.rows - task.guard_to) * GRID_NM
    head = -task.guard_from * GRID_NM * MM if task.guard_from else OVERLAP_MM
    return 0.0, -foot * MM - OVERLAP_MM, right * MM, head


class _Pieces:
    """Convex pieces of copper and a reach about each, in nanometres about the cell's upper left corner.

    Lines that go on from each other are one piece.
    """

    def __init__(self) -> None:
        self.points: list[PointNm] = []
        self.lines: list[list[PointNm]] = []
        self.boxes: list[Box] = []
        self.reach: dict[str, list[float]] = {"points": [], "lines": [], "boxes": []}

    def point(self, x: int, y: int, reach: float) -> None:
        """A disc."""
        self.points.append((x, y))
        self.reach["points"].append(reach)

    def line(self, start: PointNm, end: PointNm, reach: float) -> None:
        """A bar with round ends."""
        if start == end:
            self.point(*start, reach)
        elif self.lines and self.lines[-1][-1] == start and self.reach["lines"][-1] == reach:
            self.lines[-1].append(end)
        else:
            self.lines.append([start, end])
            self.reach["lines"].append(reach)

    def box(self, box: Box, reach: float) -> None:
        """A rectangle with round corners."""
        self.boxes.append(box)
        self.reach["boxes"].append(reach)

    def arrays(self) -> _Reached:
        """The pieces, and the reach of each, in millimetres."""
        cores: list[NDArray[np.object_]] = [np.empty(0, object)]
        if self.points:
            cores.append(shapely.points(np.array(self.points) * MM))
        if self.lines:
            of = [number for number, line in enumerate(self.lines) for _ in line]
            ends = np.array([point for line in self.lines for point in line]) * MM
            cores.append(shapely.linestrings(ends, indices=of))
        if self.boxes:
            cores.append(shapely.box(*np.array(self.boxes).T * MM))
        reach = np.array([each for kind in self.reach.values() for each in kind])
        return np.concatenate(cores), reach * MM


class _CellCopper:
    """What the pour keeps off and how far, the drawn 0V with half its width, and the pads on 0V."""

    def __init__(self) -> None:
        self.foreign, self.ground, self.pads = _Pieces(), _Pieces(), _Pieces()

    def arrays(self) -> _Arrays:
        """The same as arrays."""
        return _Arrays(self.foreign.arrays(), self.ground.arrays(), self.pads.arrays())


def _grown(copper: _Arrays) -> NDArray[np.object_]:
    """The areas that the pour keeps off, larger by half a sliver."""
    (cores, reach), (pads, half) = copper.foreign, copper.pads
    reaches = np.concatenate([reach, half + THERMAL_GAP_MM]) + SLIVER_MM
    return np.asarray(shapely.buffer(np.concatenate([cores, pads]), reaches, quad_segs=ARC_SEGMENTS))


def _side(
    side: int, window: Window, mine: _Arrays, both: _Arrays, common: tuple[shapely.Geometry, shapely.Geometry]
) -> list[Piece]:
    """The pieces of pour on one side of a cell, from the copper of that side and of both.

    `common` is what the copper of both sides takes, and what it leaves of the window. All that is kept off is grown by
    half a sliver more, and what is left grown back: that leaves no sliver.
    """
    foreign, ground, pads = (_joined(*each) for each in zip(mine, both, strict=True))
    taken, room = common
    grown = _grown(mine)
    area = shapely.difference(room, shapely.union_all(grown[~shapely.covers(taken, grown)]))
    area = shapely.remove_repeated_points(area, TOUCH_MM)
    area = shapely.buffer(area, SLIVER_MM, join_style="mitre", mitre_limit=MITRE)
    if spokes := _spokes(*pads, window, *foreign, area):
        area = shapely.union_all([area, *spokes])
    area = shapely.simplify(area, SIMPLE_MM)
    parts = shapely.get_parts(area)
    parts = parts[shapely.area(parts) > LEAST_MM2]
    anchors, wide = _joined(ground, pads)
    held = shapely.dwithin(parts[:, None], anchors, wide).any(axis=1)
    return [
        (side, _ring(polygon.exterior), tuple(sorted(map(_ring, polygon.interiors), key=_extent, reverse=True)))
        for polygon in parts[held]
    ]


def _joined(one: _Reached, other: _Reached) -> _Reached:
    return np.concatenate([one[0], other[0]]), np.concatenate([one[1], other[1]])


def _copper(task: CellTask, routed: RoutedCell) -> tuple[_CellCopper, _CellCopper, _CellCopper]:
    """The copper of a cell: of the top, of the bottom, of both."""
    found = _CellCopper(), _CellCopper(), _CellCopper()
    classes = dict(task.net_classes)
    clears = {name: max(CLEARANCE_NM, each.track.clearance_nm + TIP_NM) for name, each in task.net_classes}
    _tracks(task, routed, clears, found)
    for pin, row in [(p, 0) for p in task.above] + [(p, routed.rows) for p in task.below]:
        # the next cell's track may leave at 45 degrees
        reach = (classes[pin.net[0]].track.half_nm + clears[pin.net[0]]) * MITRE
        found[pin.side].foreign.point(pin.column * GRID_NM, -row * GRID_NM, reach)
    for (x, y), net in routed.vias:
        if net != ZERO:
            found[BOTH].foreign.point(x, -y, VIA_PAD_NM / 2 + clears[net[0]])
    _pads(task, routed, clears, found)
    return found


def _pads(task: CellTask, routed: RoutedCell, clears: Mapping[str, int], found: tuple[_CellCopper, ...]) -> None:
    """Adds the pads, and what is to be clear beneath a body."""
    for part, (column, row, rotation) in zip(task.parts, routed.places, strict=True):
        footprint = part.rotated(rotation)
        x0, y0 = column * GRID_NM, -row * GRID_NM
        if part.clear_beneath:
            found[BOTH].foreign.box(moved(footprint.body, x0, y0), 0)
        for pad, box, net in zip(footprint.pads, footprint.pad_boxes, part.nets, strict=True):
            copper = found[BOTH if pad.hole_nm else 0]
            there = copper.foreign if net != ZERO else copper.ground if part.solid else copper.pads
            clear = 0 if net == ZERO else clears[net[0]] if net else CLEARANCE_NM
            if pad.hole_nm and pad.width_nm == pad.height_nm:
                there.point(x0 + pad.x_nm, y0 + pad.y_nm, pad.width_nm / 2 + clear)
            else:
                there.box(moved(box, x0, y0), clear)


def _tracks(task: CellTask, routed: RoutedCell, clears: Mapping[str, int], found: tuple[_CellCopper, ...]) -> None:
    """Adds the tracks: the pour keeps off those of signals on both sides of the board."""
    for segment in routed.segments or guard_segments(task, routed.rows):
        start, end = ((x, -y) for x, y in (segment.start, segment.end))
        half = segment.width_nm / 2
        if segment.net[0] == "signal" and task.place != "bus":
            found[BOTH].foreign.line(start, end, half + max(SIGNAL_CLEARANCE_NM, clears["signal"]))
        elif segment.net == ZERO:
            found[segment.side].ground.line(start, end, half)
        else:
            found[segment.side].foreign.line(start, end, half + clears[segment.net[0]])


def _spokes(
    pads: NDArray[np.object_], half: NDArray[np.float64], window: Window,
    cores: NDArray[np.object_], reach: NDArray[np.float64], area: shapely.Geometry,
) -> list[shapely.Geometry]:  # fmt: skip
    """Spokes of thermal relief from each pad to the four sides, where there is pour to reach and nothing in the way."""
    if not len(pads):
        return []
    left, low, right, high = (shapely.bounds(pads) + half[:, None] * np.array([-1, -1, 1, 1])).T
    x, y = (left + right) / 2, (low + high) / 2
    thin, far = SPOKE_MM / 2, THERMAL_GAP_MM + SPOKE_REACH_MM
    boxes = np.concatenate([
        shapely.box(x, y - thin, right + far, y + thin), shapely.box(left - far, y - thin, x, y + thin),
        shapely.box(x - thin, y, x + thin, high + far), shapely.box(x - thin, low - far, x + thin, y),
    ])  # fmt: skip
    tips = shapely.points(
        np.concatenate([right + far, left - far, x, x]), np.concatenate([y, y, high + far, low - far])
    )
    edges = shapely.bounds(boxes)
    inside = (edges[:, :2] >= window[:2]).all(axis=1) & (edges[:, 2:] <= window[2:]).all(axis=1)
    shapely.prepare(area)
    inside &= shapely.covers(area, shapely.buffer(tips, thin * 0.9))
    boxes = boxes[inside]
    if len(cores):
        boxes = boxes[~shapely.dwithin(boxes[:, None], cores, reach - TOUCH_MM).any(axis=1)]
    return list(boxes)


def _ring(ring: shapely.Geometry) -> tuple[PointNm, ...]:
    points = np.rint(shapely.get_coordinates(ring) / MM).astype(np.int64).tolist()
    return tuple((x, y) for x, y in points[:-1])


def _extent(ring: tuple[PointNm, ...]) -> int:
    """Twice the area inside a ring."""
    return abs(sum([a[0] * b[1] - b[0] * a[1] for a, b in itertools.pairwise((*ring, ring[0]))]))
