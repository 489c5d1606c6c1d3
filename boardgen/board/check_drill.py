"""Rings and holes."""

from __future__ import annotations

import numpy as np
import shapely

from boardgen.board.fault import fault
from boardgen.model.copper import Board, PointNm
from boardgen.model.house import House
from boardgen.model.problem import Problem

SLACK_MM = 1e-6
Hole = tuple[float, float, float, float | None]
"""Place and diameter, and the ring about it where it is plated; millimetres."""


def drills(board: Board, house: House) -> list[Problem]:
    """Rings too narrow, holes too small or large, too near each other or the edge."""
    holes: list[Hole] = []
    holes += [_hole(pad.at, pad.hole_nm, min(pad.width_nm, pad.height_nm)) for pad in board.pads if pad.hole_nm]
    holes += [_hole(via.at, via.hole_nm, via.pad_nm) for via in board.vias]
    holes += [_hole(hole.at, hole.hole_nm, None) for hole in board.mounting_holes]
    found = []
    for x, y, size, ring in holes:
        if ring is not None and ring < house.ring - SLACK_MM:
            found.append(fault("B301 ring", (x, y), f"the ring is {ring:.2f} mm", f"{house.ring:.2f} mm are needed"))
        if not house.hole_least - SLACK_MM <= size <= house.hole_most + SLACK_MM:
            allowed = f"{house.hole_least} to {house.hole_most} mm are made"
            found.append(fault("B302 hole size", (x, y), f"a hole of {size:.2f} mm", allowed))
        wide, high = board.width_nm * 1e-6, board.height_nm * 1e-6
        room = min(x, y, wide - x, high - y) - size / 2
        if room < house.hole_to_edge - SLACK_MM:
            text = f"a hole is {room:.2f} mm from the edge"
            found.append(fault("B304 hole to edge", (x, y), text, f"{house.hole_to_edge:.2f} mm are needed"))
    return found + _between(holes, house.hole_to_hole)


def _hole(at: PointNm, size_nm: int, land_nm: int | None) -> Hole:
    ring = None if land_nm is None else (land_nm - size_nm) * 5e-7
    return at[0] * 1e-6, at[1] * 1e-6, size_nm * 1e-6, ring


def _between(holes: list[Hole], least_mm: float) -> list[Problem]:
    table = np.array([hole[:3] for hole in holes]).reshape(-1, 3)
    points = shapely.points(table[:, :2])
    reach = float(table[:, 2].max(initial=0)) + least_mm
    one, two = shapely.STRtree(points).query(points, predicate="dwithin", distance=reach)
    keep = one < two
    one, two = one[keep], two[keep]
    gap = shapely.distance(points[one], points[two]) - (table[one, 2] + table[two, 2]) / 2
    return [
        fault("B303 hole to hole", (float(table[a, 0]), float(table[a, 1])), f"two holes are {g:.2f} mm apart",
              f"{least_mm:.2f} mm are needed")
        for a, b, g in zip(one, two, gap, strict=True)
        if g < least_mm - SLACK_MM
    ]  # fmt: skip
