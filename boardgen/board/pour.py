"""0V copper between the tracks, made cell by cell; equal cells are filled once."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray

from boardgen.board.job import ZERO, Job, Laid
from boardgen.board.lay import fences
from boardgen.board.maze import GRID_MM, VIA_LAND_MM
from boardgen.model.copper import SIDES, Point, Region

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
Piece = tuple[int, tuple[Point, ...], tuple[tuple[Point, ...], ...]]


def poured(job: Job, laid: Laid, left_nm: int, top_nm: int) -> list[Region]:
    """The pour of a cell in its place on the board, both sides."""
    found = []
    for side, outline, clear in _pieces(job, laid):
        rings = [tuple((x + left_nm, y + top_nm) for x, y in ring) for ring in (outline, *clear)]
        found.append(Region(SIDES[side], rings[0], tuple(rings[1:]), "0V"))
    return found


@lru_cache(maxsize=4096)
def _pieces(job: Job, laid: Laid) -> tuple[Piece, ...]:
    if laid.rows <= job.wall_from + job.wall_to:
        return ()
    return tuple(piece for side in (0, 1) for piece in _side(job, laid, side))


class _Grown:
    """Convex pieces of copper and how far each must be kept off, in millimetres about the cell's upper left corner."""

    def __init__(self) -> None:
        self.points: list[tuple[float, float]] = []
        self.lines: list[tuple[tuple[float, float], tuple[float, float]]] = []
        self.boxes: list[tuple[float, float, float, float]] = []
        self.reach: dict[str, list[float]] = {"points": [], "lines": [], "boxes": []}

    def point(self, x: float, y: float, reach: float) -> None:
        self.points.append((x, y))
        self.reach["points"].append(reach)

    def line(self, start: tuple[float, float], end: tuple[float, float], reach: float) -> None:
        if start == end:
            self.point(*start, reach)
        else:
            self.lines.append((start, end))
            self.reach["lines"].append(reach)

    def box(self, left: float, low: float, right: float, high: float, reach: float) -> None:
        self.boxes.append((left, low, right, high))
        self.reach["boxes"].append(reach)

    def arrays(self) -> tuple[NDArray[np.object_], NDArray[np.float64]]:
        """The pieces, and the reach of each."""
        boxes = np.array(self.boxes, float).reshape(-1, 4).T
        cores = (
            shapely.points(np.array(self.points, float).reshape(-1, 2)),
            shapely.linestrings(np.array(self.lines, float).reshape(-1, 2, 2)),
            shapely.box(*boxes),
        )
        reach = np.array([each for kind in self.reach.values() for each in kind])
        return np.concatenate(cores), reach


def _side(job: Job, laid: Laid, side: int) -> list[Piece]:
    """The pieces of pour on one side of a cell.

    All that is kept off is grown by half a sliver more, and what is left grown back: that leaves no sliver.
    """
    right = job.columns * GRID_MM - (0.0 if job.walls[1] or job.stage == "rails" else 0.8)
    foot = (laid.rows - job.wall_to) * GRID_MM
    head = -job.wall_from * GRID_MM if job.wall_from else OVERLAP_MM
    window = (0.0, -foot - OVERLAP_MM, right, head)
    foreign, ground, pads = _copper(job, laid, side)
    cores, reach = foreign.arrays()
    lands, half = pads.arrays()
    anchors, wide = ground.arrays()
    inner = shapely.box(window[0] + SLIVER_MM, window[1] + SLIVER_MM, window[2] - SLIVER_MM, window[3] - SLIVER_MM)
    grown = shapely.buffer(
        np.concatenate([cores, lands]), np.concatenate([reach, half + GAP_MM]) + SLIVER_MM, quad_segs=8
    )
    # sides of no length would disturb what follows
    area = shapely.remove_repeated_points(shapely.difference(inner, shapely.union_all(grown)), TOUCH_MM)
    # right angles keep their corners; what is sharper is cut, since its tip could come near something else
    area = shapely.buffer(area, SLIVER_MM, join_style="mitre", mitre_limit=1.42)
    if spokes := _spokes(lands, half, window, cores, reach, area):
        area = shapely.union_all([area, *spokes])
    area = shapely.simplify(area, 0.01)
    parts = shapely.get_parts(area)
    parts = parts[shapely.area(parts) > LEAST_MM2]
    joined = np.concatenate([anchors, lands]), np.concatenate([wide, half])
    held = shapely.dwithin(parts[:, None], joined[0], joined[1]).any(axis=1)
    return [
        (side, _ring(polygon.exterior), tuple(_ring(hole) for hole in polygon.interiors)) for polygon in parts[held]
    ]


def _copper(job: Job, laid: Laid, side: int) -> tuple[_Grown, _Grown, _Grown]:
    """What the pour keeps off, the drawn 0V with half its width, and the lands on 0V, on one side."""
    kinds = dict(job.kinds)
    clears = {kind: max(CLEAR_MM, each.track.clear_mm + TIP_MM) for kind, each in job.kinds}
    foreign, ground = _tracks(job, laid, side, clears)
    pads = _Grown()
    for port, row in [(p, 0) for p in job.above] + [(p, laid.rows) for p in job.below]:
        if port.side == side:
            # the next cell's track may leave at 45 degrees
            half = (kinds[port.net[0]].track.half_mm + clears[port.net[0]]) * 1.42
            foreign.point(port.column * GRID_MM, -row * GRID_MM, half)
    for x, y, via in laid.vias:
        if via != ZERO:
            foreign.point(x * GRID_MM, -y * GRID_MM, VIA_LAND_MM / 2 + clears[via[0]])
    _lands(job, laid, side, clears, foreign, pads)
    return foreign, ground, pads


def _lands(job: Job, laid: Laid, side: int, clears: Mapping[str, float], foreign: _Grown, pads: _Grown) -> None:
    """Adds the lands on one side, and what lies under a core."""
    for seat, (column, row, turn) in zip(job.seats, laid.places, strict=True):
        form = seat.form(turn)
        x0, y0 = column * GRID_MM, -row * GRID_MM
        if seat.footprint.key.startswith(CORE):
            left, low, far, high = (value * 1e-6 for value in form.body)
            foreign.box(x0 + left, y0 + low, x0 + far, y0 + high, 0.0)
        for pad, box, net in zip(form.pads, form.land_boxes, seat.nets, strict=True):
            if side == 1 and not pad.hole_nm:
                continue
            there = pads if net == ZERO else foreign
            clear = 0.0 if net == ZERO else clears[net[0]] if net else CLEAR_MM
            if pad.hole_nm and pad.width_nm == pad.height_nm:
                there.point(x0 + pad.x_nm * 1e-6, y0 + pad.y_nm * 1e-6, pad.width_nm * 5e-7 + clear)
            else:
                left, low, far, high = (value * 1e-6 for value in box)
                there.box(x0 + left, y0 + low, x0 + far, y0 + high, clear)


def _tracks(job: Job, laid: Laid, side: int, clears: dict[str, float]) -> tuple[_Grown, _Grown]:
    """The tracks that the pour keeps off, those of signals on both sides of the board, and the drawn 0V."""
    foreign, ground = _Grown(), _Grown()
    for drawn in laid.tracks or fences(job, laid.rows):
        start, end = ((x * GRID_MM, -y * GRID_MM) for x, y in (drawn.start, drawn.end))
        if drawn.net[0] == "signal" and job.stage != "rails":
            foreign.line(start, end, drawn.width_mm / 2 + max(SIGNAL_MM, clears["signal"]))
        elif drawn.side == side and drawn.net == ZERO:
            ground.line(start, end, drawn.width_mm / 2)
        elif drawn.side == side:
            foreign.line(start, end, drawn.width_mm / 2 + clears[drawn.net[0]])
    return foreign, ground


def _spokes(
    lands: NDArray[np.object_], half: NDArray[np.float64], window: tuple[float, float, float, float],
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


def _ring(ring: shapely.Geometry) -> tuple[Point, ...]:
    points = np.rint(shapely.get_coordinates(ring) * 1e6).astype(np.int64).tolist()
    return tuple((x, y) for x, y in points[:-1])
