"""How near a track on the grid comes to round copper that it passes: at its bends nearer than at its places."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from boardgen.board.routing_grid import GRID_MM
from boardgen.board.rules import CLEAR_NM, LEAST_NM, SLANT_NM

FAR_STEPS = 12
LEAST_MM, CLEAR_MM, SLANT_MM = LEAST_NM / 1e6, CLEAR_NM / 1e6, SLANT_NM / 1e6


@lru_cache(maxsize=1)
def _steps() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Of slanting steps about a place of the grid: how far their nearer end is, and their nearest point."""
    column, row = np.meshgrid(np.arange(FAR_STEPS), np.arange(1, FAR_STEPS))
    ends = np.minimum(np.hypot(column, row), np.hypot(column + 1, row - 1))
    # the foot of the perpendicular lies on the step, or an end is nearest
    along = np.clip((row - column) / 2, 0, 1)
    return ends * GRID_MM, np.hypot(column + along, row - along) * GRID_MM


@lru_cache(maxsize=256)
def nearest_mm(reach_mm: float) -> float:
    """The least distance to a point of the grid of a slanting step between places at least `reach_mm` away."""
    ends, nearest = _steps()
    return float(nearest[ends >= reach_mm - 1e-6].min())


@lru_cache(maxsize=1024)
def clear_mm(radius_mm: float, half_mm: tuple[float, ...]) -> float:
    """The clearance that places must keep from a disc on the grid so that tracks this wide keep the rule's."""
    if all(nearest_mm(radius_mm + half + CLEAR_MM) >= radius_mm + half + LEAST_MM for half in half_mm):
        return CLEAR_MM
    return SLANT_MM
