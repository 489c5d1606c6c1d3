"""A board's copper as bare geometry in millimetres: a core (point, line or area) and a radius about it, no names."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from itertools import chain

import numpy as np
import shapely
from msgspec import Struct
from numpy.typing import NDArray

from boardgen.model.copper import Board, PlacedPad

NM = 1e-6
TOP, BOTTOM = 1, 2
Near = tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.float64]]
"""Pairs of pieces: the number of either, and the gap between them in millimetres."""
_SIDE = {"top": TOP, "bottom": BOTTOM}


class Solids(Struct, frozen=True, dict=True):
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

    @cached_property
    def _tree(self) -> shapely.STRtree:
        return shapely.STRtree(shapely.box(*self.boxes.T))

    def near(self, reach_mm: float, of: NDArray[np.int64] | None = None) -> Near:
        """Every two pieces on a common side whose edges are closer than the reach: their numbers, and the gap.

        The gap is negative where they overlap. With `of`, only pairs with at least one of these pieces.
        """
        some = np.arange(len(self.cores)) if of is None else of
        left, low, right, top = self.boxes[some].T
        rims = shapely.box(left - reach_mm, low - reach_mm, right + reach_mm, top + reach_mm)
        found, other = self._tree.query(rims)
        one = some[found]
        chosen = np.zeros(len(self.cores), bool)
        chosen[some] = True
        # a pair of two that were asked for is met twice
        keep = ((one < other) | ~chosen[other]) & ((self.sides[one] & self.sides[other]) > 0)
        one, two = np.minimum(one, other)[keep], np.maximum(one, other)[keep]
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
    tracks, vias, regions = board.tracks, board.vias, board.regions
    ends = np.fromiter(chain.from_iterable([(*t.start, *t.end) for t in tracks]), float).reshape(-1, 2, 2) * NM
    holes = np.array([(*v.at, v.pad_nm) for v in vias], float).reshape(-1, 3) * NM
    pads, reach = land_cores(board.pads)
    rings = [ring for region in regions for ring in (region.outline, *region.clear)]
    closed = shapely.linearrings(
        np.fromiter(chain.from_iterable(chain.from_iterable(rings)), float).reshape(-1, 2) * NM,
        indices=np.repeat(np.arange(len(rings)), [len(ring) for ring in rings]),
    )
    owner = np.repeat(np.arange(len(regions)), [1 + len(region.clear) for region in regions])
    counts = [len(tracks), len(pads), len(vias), len(regions)]
    cores = (shapely.linestrings(ends), pads, shapely.points(holes[:, :2]), shapely.polygons(closed, indices=owner))
    sides = [_SIDE[t.side] for t in tracks]
    sides += [TOP | BOTTOM if pad.hole_nm else TOP for pad in board.pads]
    sides += [TOP | BOTTOM] * len(vias) + [_SIDE[region.side] for region in regions]
    pins = np.full(sum(counts), -1, np.int64)
    pins[counts[0] : counts[0] + counts[1]] = np.arange(counts[1])
    return Solids(
        np.concatenate(cores),
        np.concatenate([np.array([t.width_nm for t in tracks]) * NM / 2, reach, holes[:, 2] / 2, np.zeros(counts[3])]),
        np.array(sides, np.int64),
        pins,
        tuple(
            name for name, count in zip(("track", "land", "via", "region"), counts, strict=True) for _ in range(count)
        ),
        np.concatenate([np.arange(count) for count in counts]),
    )


def land_cores(pads: Sequence[PlacedPad], more_mm: float = 0.0) -> tuple[NDArray[np.object_], NDArray[np.float64]]:
    """For each land, wider by so much on every side, its core and the radius about it: a point, or a box and none."""
    table = np.array([(*pad.at, pad.width_nm, pad.height_nm) for pad in pads], float).reshape(-1, 4) * NM
    x, y, wide, high = table.T
    round_ = np.array([pad.is_round for pad in pads], bool)
    wide, high = wide / 2 + more_mm, high / 2 + more_mm
    cores = np.where(round_, shapely.points(x, y), shapely.box(x - wide, y - high, x + wide, y + high))
    return cores, np.where(round_, wide, 0.0)
