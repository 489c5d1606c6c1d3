"""A board's copper as bare geometry in millimetres: a core (point, line or area) and a radius about it, no names."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

from boardgen.model.copper import Board

NM = 1e-6
TOP, BOTTOM = 1, 2
_SIDE = {"top": TOP, "bottom": BOTTOM}


@dataclass(frozen=True)
class Solids:
    """Parallel arrays, one entry a piece of copper.

    `cores` are shapely geometries, `radius` millimetres about them, `sides` a sum of TOP and BOTTOM. `pin` is the
    number of a land in `Board.lands`, or -1. `what` is "track", "land", "via" or "region", `index` its place there.
    """

    cores: NDArray[np.object_]
    radius: NDArray[np.float64]
    sides: NDArray[np.int64]
    pin: NDArray[np.int64]
    what: tuple[str, ...]
    index: NDArray[np.int64]

    @cached_property
    def boxes(self) -> NDArray[np.float64]:
        """Left, bottom, right, top of each, radius included."""
        grow = self.radius[:, None] * np.array([-1, -1, 1, 1])
        return np.asarray(shapely.bounds(self.cores) + grow)

    def near(self, reach_mm: float) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.float64]]:
        """Every two pieces on a common side whose edges are closer than the reach: their numbers, and the gap.

        The gap is negative where they overlap.
        """
        low = self.boxes - reach_mm * np.array([1, 1, -1, -1]) / 2
        shapes = shapely.box(low[:, 0], low[:, 1], low[:, 2], low[:, 3])
        one, two = shapely.STRtree(shapes).query(shapes)
        keep = (one < two) & ((self.sides[one] & self.sides[two]) > 0)
        one, two = one[keep], two[keep]
        gap = shapely.distance(self.cores[one], self.cores[two]) - self.radius[one] - self.radius[two]
        close = gap < reach_mm
        return one[close], two[close], gap[close]

    def place(self, one: int, two: int | None = None) -> tuple[float, float]:
        """Where a piece is, or where two come closest, in millimetres."""
        if two is None:
            point = shapely.centroid(self.cores[one])
        else:
            point = shapely.get_point(shapely.shortest_line(self.cores[one], self.cores[two]), 0)
        return float(shapely.get_x(point)), float(shapely.get_y(point))


def solids(board: Board) -> Solids:
    """The copper of a board without its names."""
    cores: list[object] = []
    radius, sides, pins, what, index = [], [], [], [], []

    def add(core: object, reach: float, side: int, kind: str, number: int, pin: int = -1) -> None:
        cores.append(core)
        radius.append(reach)
        sides.append(side)
        pins.append(pin)
        what.append(kind)
        index.append(number)

    ends = np.array([(t.start, t.end) for t in board.tracks], float).reshape(-1, 2, 2) * NM
    for number, (track, line) in enumerate(zip(board.tracks, shapely.linestrings(ends), strict=True)):
        add(line, track.width_nm * NM / 2, _SIDE[track.side], "track", number)
    for number, land in enumerate(board.lands):
        x, y = land.at[0] * NM, land.at[1] * NM
        side = TOP | BOTTOM if land.hole_nm else TOP
        if land.is_round:
            add(shapely.Point(x, y), land.width_nm * NM / 2, side, "land", number, number)
        else:
            wide, high = land.width_nm * NM / 2, land.height_nm * NM / 2
            add(shapely.box(x - wide, y - high, x + wide, y + high), 0.0, side, "land", number, number)
    for number, via in enumerate(board.vias):
        add(shapely.Point(via.at[0] * NM, via.at[1] * NM), via.land_nm * NM / 2, TOP | BOTTOM, "via", number)
    for number, region in enumerate(board.regions):
        area = shapely.Polygon(
            np.array(region.outline, float) * NM, [np.array(hole, float) * NM for hole in region.clear]
        )
        add(area, 0.0, _SIDE[region.side], "region", number)
    return Solids(
        np.array(cores, object), np.array(radius), np.array(sides, np.int64), np.array(pins, np.int64),
        tuple(what), np.array(index, np.int64),
    )  # fmt: skip
