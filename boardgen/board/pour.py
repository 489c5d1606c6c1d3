"""0V copper between the tracks, made cell by cell; equal cells are filled once."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import shapely

from boardgen.board.job import ZERO, Job, Laid
from boardgen.board.lay import fences
from boardgen.board.maze import GRID_MM, VIA_LAND_MM
from boardgen.model.copper import SIDES, Point, Region

CLEAR_MM = 0.4
SLIVER_MM = 0.15
"""Half the width of what is too thin to keep."""
SPOKE_MM, GAP_MM = 0.6, 0.5
OVERLAP_MM = 0.02
"""Windows reach so far into each other that they are one piece of copper."""
LEAST_MM2 = 1.0
"""Smaller pieces are left out."""
CORE = "core-"
EMPTY_STAGES = ("port",)
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
    if job.stage in EMPTY_STAGES or laid.rows <= job.wall_to:
        return ()
    return tuple(piece for side in (0, 1) for piece in _side(job, laid, side))


def _side(job: Job, laid: Laid, side: int) -> list[Piece]:  # noqa: C901 - every kind of copper in turn
    clears = {kind: max(CLEAR_MM, each.track.clear_mm) for kind, each in job.kinds}
    right = job.columns * GRID_MM - (0.0 if job.walls[1] or job.stage == "rails" else 0.8)
    foot = (laid.rows - job.wall_to) * GRID_MM
    window = shapely.box(0, -foot - OVERLAP_MM, right, OVERLAP_MM)
    foreign, ground, pads = [], [], []
    for drawn in (*laid.tracks, *(fences(job, laid.rows) if not laid.tracks else ())):
        if drawn.side != side:
            continue
        ends = [(x * GRID_MM, -y * GRID_MM) for x, y in (drawn.start, drawn.end)]
        line = shapely.LineString(ends)
        if drawn.net == ZERO:
            ground.append(line.buffer(drawn.width_mm / 2))
        else:
            foreign.append(line.buffer(drawn.width_mm / 2 + clears[drawn.net[0]], quad_segs=8))
    for port, row in [(p, 0) for p in job.above] + [(p, laid.rows) for p in job.below]:
        if port.side == side:
            kind = dict(job.kinds)[port.net[0]].track
            point = shapely.Point(port.column * GRID_MM, -row * GRID_MM)
            # the next cell's track may leave at 45 degrees
            foreign.append(point.buffer((kind.half_mm + clears[port.net[0]]) * 1.42))
    for x, y, via in laid.vias:
        if via != ZERO:
            point = shapely.Point(x * GRID_MM, -y * GRID_MM)
            foreign.append(point.buffer(VIA_LAND_MM / 2 + clears[via[0]]))
    for seat, (column, row, turn) in zip(job.seats, laid.places, strict=True):
        form = seat.form(turn)
        x0, y0 = column * GRID_MM, -row * GRID_MM
        if seat.footprint.key.startswith(CORE):
            left, low, far, high = (value * 1e-6 for value in form.body)
            foreign.append(shapely.box(x0 + left, y0 + low, x0 + far, y0 + high))
        for pad, box, net in zip(form.pads, form.land_boxes, seat.nets, strict=True):
            if side == 1 and not pad.hole_nm:
                continue
            land = shapely.box(*(v * 1e-6 + o for v, o in zip(box, (x0, y0, x0, y0), strict=True)))
            if pad.hole_nm and pad.width_nm == pad.height_nm:
                land = shapely.Point(x0 + pad.x_nm * 1e-6, y0 + pad.y_nm * 1e-6).buffer(pad.width_nm * 5e-7)
            if net == ZERO:
                pads.append(land)
            else:
                foreign.append(land.buffer(clears[net[0]] if net else CLEAR_MM, quad_segs=8))
    open_area = window.difference(shapely.union_all(foreign)) if foreign else window
    rings = shapely.union_all([pad.buffer(GAP_MM) for pad in pads]) if pads else None
    area = open_area.difference(rings) if rings is not None else open_area
    opened = area.buffer(-SLIVER_MM, join_style="mitre").buffer(SLIVER_MM, join_style="mitre")
    area = opened.intersection(area)
    spokes = [spoke for pad in pads for spoke in _spokes(pad, open_area, area)]
    if spokes:
        area = shapely.union_all([area, *spokes])
    area = area.simplify(0.01)
    anchor = shapely.union_all(ground + pads) if ground or pads else shapely.Point()
    return [
        (side, _ring(polygon.exterior), tuple(_ring(hole) for hole in polygon.interiors))
        for polygon in shapely.get_parts(area)
        if polygon.area > LEAST_MM2 and polygon.intersects(anchor)
    ]


def _spokes(pad: shapely.Geometry, open_area: shapely.Geometry, area: shapely.Geometry) -> list[shapely.Geometry]:
    """Spokes to the four sides, where there is pour to reach and nothing in the way."""
    left, low, right, high = pad.bounds
    x, y = (left + right) / 2, (low + high) / 2
    half, far = SPOKE_MM / 2, GAP_MM + 0.2
    boxes = (
        shapely.box(x, y - half, right + far, y + half),
        shapely.box(left - far, y - half, x, y + half),
        shapely.box(x - half, y, x + half, high + far),
        shapely.box(x - half, low - far, x + half, y),
    )
    tips = ((right + far, y), (left - far, y), (x, high + far), (x, low - far))
    return [
        box
        for box, tip in zip(boxes, tips, strict=True)
        if open_area.covers(box) and area.covers(shapely.Point(tip).buffer(half * 0.9))
    ]


def _ring(ring: shapely.Geometry) -> tuple[Point, ...]:
    points = np.rint(shapely.get_coordinates(ring) * 1e6).astype(np.int64).tolist()
    return tuple((x, y) for x, y in points[:-1])
