"""A board's copper as two grids of square cells, each with the number of its net."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from boardgen.model.copper import SIDES, Board, Point, Region

GRID_NM = 635_000
CELL_NM = GRID_NM / 3
"""A third of the grid of tracks, with which tracks of 0.6, 1.0 and 1.5 mm and their gaps come out nearly as wide."""
FREE, ZERO = -1, 0
Labels = NDArray[np.int16]


@dataclass(frozen=True)
class Raster:
    """`labels` (2, rows, columns), top first, rows upwards: the number of the net, ZERO for 0V, FREE for no copper.

    `names` are the nets from number 1 on. Outside the board everything is ZERO.
    """

    names: tuple[str, ...]
    labels: Labels


def raster(board: Board, held: frozenset[str]) -> Raster:
    """The copper of a board; nets in `held` count as 0V, and copper without a net is left out."""
    nets = {t.net for t in board.tracks} | {land.net for land in board.lands} | {v.net for v in board.vias}
    names = tuple(sorted(nets - held - {""}))
    brush = _Brush(board, {name: n for n, name in enumerate(names, 1)})
    for region in board.regions:
        brush.region(region)
    for track in board.tracks:
        brush.capsule(SIDES.index(track.side), track.start, track.end, track.width_nm / 2, track.net)
    for via in board.vias:
        for side in (0, 1):
            brush.capsule(side, via.at, via.at, via.land_nm / 2, via.net)
    for land in board.lands:
        for name in land.sides if land.net else ():
            side = SIDES.index(name)
            if land.is_round:
                brush.capsule(side, land.at, land.at, land.width_nm / 2, land.net)
            else:
                brush.box(side, land.at, land.width_nm / 2, land.height_nm / 2, land.net)
    return Raster(names, brush.labels)


class _Brush:
    """Paints copper on cells whose middle it covers. Tracks run along middles of cells."""

    def __init__(self, board: Board, numbers: Mapping[str, int]) -> None:
        self.numbers = numbers
        ends = [end for track in board.tracks for end in (track.start, track.end)] or [(0, 0)]
        self.x, self.y = (
            _middles(length, Counter(end[axis] % GRID_NM for end in ends).most_common(1)[0][0])
            for axis, length in enumerate((board.width_nm, board.height_nm))
        )
        self.labels: Labels = np.full((2, self.y.size, self.x.size), FREE, np.int16)
        self.labels[:, :, (self.x < 0) | (self.x > board.width_nm)] = ZERO
        self.labels[:, (self.y < 0) | (self.y > board.height_nm)] = ZERO

    def _window(self, low: Point, high: Point, reach: float) -> tuple[slice, slice]:
        rows, columns = (
            slice(
                int(np.searchsorted(middles, min(low[axis], high[axis]) - reach)),
                int(np.searchsorted(middles, max(low[axis], high[axis]) + reach)),
            )
            for axis, middles in ((1, self.y), (0, self.x))
        )
        return rows, columns

    def capsule(self, side: int, start: Point, end: Point, radius: float, net: str) -> None:
        rows, columns = self._window(start, end, radius)
        x, y = self.x[columns][None] - start[0], self.y[rows][:, None] - start[1]
        wide, high = end[0] - start[0], end[1] - start[1]
        length2 = wide * wide + high * high
        along = np.clip((x * wide + y * high) / length2, 0, 1) if length2 else 0.0
        inside = (x - along * wide) ** 2 + (y - along * high) ** 2 <= radius * radius
        self.labels[side, rows, columns][inside] = self.numbers.get(net, ZERO)

    def box(self, side: int, at: Point, half_x: float, half_y: float, net: str) -> None:
        rows, _ = self._window(at, at, half_y)
        _, columns = self._window(at, at, half_x)
        self.labels[side, rows, columns] = self.numbers.get(net, ZERO)

    def region(self, region: Region) -> None:
        area = shapely.Polygon(region.outline, region.clear)
        shapely.prepare(area)
        left, low, right, high = (round(v) for v in area.bounds)
        rows, columns = self._window((left, low), (right, high), 0)
        x, y = np.meshgrid(self.x[columns], self.y[rows])
        covered = shapely.contains_xy(area, x, y)
        self.labels[SIDES.index(region.side), rows, columns][covered] = self.numbers.get(region.net, ZERO)


def _middles(length_nm: int, phase_nm: int) -> NDArray[np.float64]:
    """Middles of the cells from just below 0 to just above the length."""
    first = -int(phase_nm // CELL_NM) - 1
    count = int(length_nm // CELL_NM) + 3
    return np.asarray(phase_nm + (np.arange(count) + first) * CELL_NM, np.float64)
