"""0V copper between the tracks, made cell by cell; equal cells are filled once."""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from functools import lru_cache
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from boardgen.board.cell_layout import fences
from boardgen.board.cell_task import ZERO, Job, Laid
from boardgen.board.routing_grid import GRID_MM, VIA_LAND_MM
from boardgen.model.copper import SIDES, PointNm, Region

CLEAR_MM = 0.4
SLIVER_MM = 0.15
"""Half the width of what is too thin to keep."""
TIP_MM = 0.07
"""More than the clearance that copper of a surge asks for: a right-angled tip of pour may come nearer by so much."""
TOUCH_MM = 1e-6
SPOKE_MM, GAP_MM = 0.6, 0.5
OVERLAP_MM = 0.02
"""Windows reach so far into each other that they are one piece of copper."""
LEAST_MM2 = 1.0
"""Smaller pieces are left out."""
SIGNAL_MM = 2.0
"""Kept free of pour beside and under the tracks of a signal: what lies nearer adds to the common mode's way to 0V."""
CORE = "core-"
NOTHING = np.empty(0, object)
BOTH = 2
"""Copper of both sides, after that of side 0 and of side 1."""
Piece = tuple[int, tuple[PointNm, ...], tuple[tuple[PointNm, ...], ...]]

Window = tuple[float, float, float, float]
"""Left, low, right and high, in millimetres about the upper left corner of the cell."""

_Reached = tuple[NDArray[np.object_], NDArray[np.float64]]
"""Pieces, and how far each reaches."""


class _Arrays(NamedTuple):
    """What the pour keeps off, what is drawn of 0V, and its lands."""

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
def poured(job: Job, laid: Laid) -> tuple[Piece, ...]:
    """The pieces of pour of a cell, both sides: side, outline and clear areas about the cell's upper left corner."""
    if laid.rows <= job.wall_from + job.wall_to:
        return ()
    *of_sides, both = _copper(job, laid)
    common = both.arrays()
    taken = shapely.union_all(_grown(common))
    shapely.prepare(taken)
    window = left, low, right, high = _window(job, laid)
    inner = shapely.box(left + SLIVER_MM, low + SLIVER_MM, right - SLIVER_MM, high - SLIVER_MM)
    room = shapely.difference(inner, taken)
    return tuple(
        piece
        for side, mine in enumerate(of_sides)
        for piece in _side(side, window, mine.arrays(), common, (taken, room))
    )


def _window(job: Job, laid: Laid) -> Window:
    """What the pour of a cell may fill: left, low, right, high."""
    right = job.columns * GRID_MM - (0.0 if job.walls[1] or job.stage == "rails" else 0.8)
    foot = (laid.rows - job.wall_to) * GRID_MM
    head = -job.wall_from * GRID_MM if job.wall_from else OVERLAP_MM
    return 0.0, -foot - OVERLAP_MM, right, head


class _Pieces:
    """Convex pieces of copper and a reach about each, in millimetres about the cell's upper left corner.

    Lines that go on from each other are one piece.
    """

    def __init__(self) -> None:
        self.points: list[tuple[float, float]] = []
        self.lines: list[list[tuple[float, float]]] = []
        self.boxes: list[tuple[float, float, float, float]] = []
        self.reach: dict[str, list[float]] = {"points": [], "lines": [], "boxes": []}

    def point(self, x: float, y: float, reach: float) -> None:
        self.points.append((x, y))
        self.reach["points"].append(reach)

    def line(self, start: tuple[float, float], end: tuple[float, float], reach: float) -> None:
        if start == end:
            self.point(*start, reach)
        elif self.lines and self.lines[-1][-1] == start and self.reach["lines"][-1] == reach:
            self.lines[-1].append(end)
        else:
            self.lines.append([start, end])
            self.reach["lines"].append(reach)

    def box(self, left: float, low: float, right: float, high: float, reach: float) -> None:
        self.boxes.append((left, low, right, high))
        self.reach["boxes"].append(reach)

    def arrays(self) -> _Reached:
        """The pieces, and the reach of each."""
        cores: list[NDArray[np.object_]] = [NOTHING]
        if self.points:
            cores.append(shapely.points(self.points))
        if self.lines:
            of = [number for number, line in enumerate(self.lines) for _ in line]
            cores.append(shapely.linestrings([point for line in self.lines for point in line], indices=of))
        if self.boxes:
            cores.append(shapely.box(*np.array(self.boxes).T))
        return np.concatenate(cores), np.array([each for kind in self.reach.values() for each in kind])


class _Copper:
    """What the pour keeps off and how far, the drawn 0V with half its width, and the lands on 0V."""

    def __init__(self) -> None:
        self.foreign, self.ground, self.pads = _Pieces(), _Pieces(), _Pieces()

    def arrays(self) -> _Arrays:
        """The same as arrays."""
        return _Arrays(self.foreign.arrays(), self.ground.arrays(), self.pads.arrays())


def _grown(copper: _Arrays) -> NDArray[np.object_]:
    """The areas that the pour keeps off, larger by half a sliver."""
    (cores, reach), (lands, half) = copper.foreign, copper.pads
    reaches = np.concatenate([reach, half + GAP_MM]) + SLIVER_MM
    return np.asarray(shapely.buffer(np.concatenate([cores, lands]), reaches, quad_segs=8))


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
    # sides of no length would disturb what follows
    area = shapely.remove_repeated_points(area, TOUCH_MM)
    # right angles keep their corners; what is sharper is cut, since its tip could come near something else
    area = shapely.buffer(area, SLIVER_MM, join_style="mitre", mitre_limit=1.42)
    if spokes := _spokes(*pads, window, *foreign, area):
        area = shapely.union_all([area, *spokes])
    area = shapely.simplify(area, 0.01)
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


def _copper(job: Job, laid: Laid) -> tuple[_Copper, _Copper, _Copper]:
    """The copper of a cell: of the top, of the bottom, of both."""
    found = _Copper(), _Copper(), _Copper()
    kinds = dict(job.kinds)
    clears = {kind: max(CLEAR_MM, each.track.clear_mm + TIP_MM) for kind, each in job.kinds}
    _tracks(job, laid, clears, found)
    for port, row in [(p, 0) for p in job.above] + [(p, laid.rows) for p in job.below]:
        # the next cell's track may leave at 45 degrees
        half = (kinds[port.net[0]].track.half_mm + clears[port.net[0]]) * 1.42
        found[port.side].foreign.point(port.column * GRID_MM, -row * GRID_MM, half)
    for x, y, via in laid.vias:
        if via != ZERO:
            found[BOTH].foreign.point(x * GRID_MM, -y * GRID_MM, VIA_LAND_MM / 2 + clears[via[0]])
    _lands(job, laid, clears, found)
    return found


def _lands(job: Job, laid: Laid, clears: Mapping[str, float], found: tuple[_Copper, ...]) -> None:
    """Adds the lands, and what lies under a core."""
    for seat, (column, row, turn) in zip(job.parts, laid.places, strict=True):
        form = seat.form(turn)
        x0, y0 = column * GRID_MM, -row * GRID_MM
        if seat.footprint.key.startswith(CORE):
            left, low, far, high = (value * 1e-6 for value in form.body)
            found[BOTH].foreign.box(x0 + left, y0 + low, x0 + far, y0 + high, 0.0)
        for pad, box, net in zip(form.pads, form.land_boxes, seat.nets, strict=True):
            copper = found[BOTH if pad.hole_nm else 0]
            there = copper.pads if net == ZERO else copper.foreign
            clear = 0.0 if net == ZERO else clears[net[0]] if net else CLEAR_MM
            if pad.hole_nm and pad.width_nm == pad.height_nm:
                there.point(x0 + pad.x_nm * 1e-6, y0 + pad.y_nm * 1e-6, pad.width_nm * 5e-7 + clear)
            else:
                left, low, far, high = (value * 1e-6 for value in box)
                there.box(x0 + left, y0 + low, x0 + far, y0 + high, clear)


def _tracks(job: Job, laid: Laid, clears: Mapping[str, float], found: tuple[_Copper, ...]) -> None:
    """Adds the tracks: the pour keeps off those of signals on both sides of the board."""
    for drawn in laid.tracks or fences(job, laid.rows):
        start, end = ((x * GRID_MM, -y * GRID_MM) for x, y in (drawn.start, drawn.end))
        if drawn.net[0] == "signal" and job.stage != "rails":
            found[BOTH].foreign.line(start, end, drawn.width_mm / 2 + max(SIGNAL_MM, clears["signal"]))
        elif drawn.net == ZERO:
            found[drawn.side].ground.line(start, end, drawn.width_mm / 2)
        else:
            found[drawn.side].foreign.line(start, end, drawn.width_mm / 2 + clears[drawn.net[0]])


def _spokes(
    lands: NDArray[np.object_], half: NDArray[np.float64], window: Window,
    cores: NDArray[np.object_], reach: NDArray[np.float64], area: shapely.Geometry,
) -> list[shapely.Geometry]:  # fmt: skip
    """Spokes from each land to the four sides, where there is pour to reach and nothing in the way."""
    if not len(lands):
        return []
    left, low, right, high = (shapely.bounds(lands) + half[:, None] * np.array([-1, -1, 1, 1])).T
    x, y = (left + right) / 2, (low + high) / 2
    thin, far = SPOKE_MM / 2, GAP_MM + 0.2
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
    points = np.rint(shapely.get_coordinates(ring) * 1e6).astype(np.int64).tolist()
    return tuple((x, y) for x, y in points[:-1])


def _extent(ring: tuple[PointNm, ...]) -> int:
    """Twice the area inside a ring."""
    return abs(sum([a[0] * b[1] - b[0] * a[1] for a, b in itertools.pairwise((*ring, ring[0]))]))
