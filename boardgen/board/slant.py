"""How near a track on the grid comes to round copper that it passes: at its bends nearer than at its places."""

from __future__ import annotations

from functools import lru_cache

from boardgen.board.maze import GRID_MM
from boardgen.board.rules import CLEAR_MM, LEAST_MM, SLANT_MM

FAR_STEPS = 12


@lru_cache(maxsize=256)
def nearest_mm(reach_mm: float) -> float:
    """The least distance to a point of the grid of a slanting step between places at least `reach_mm` away."""
    least = float("inf")
    for column in range(FAR_STEPS):
        for row in range(1, FAR_STEPS):
            ends = (column, row), (column + 1, row - 1)
            if all((x * x + y * y) ** 0.5 * GRID_MM >= reach_mm - 1e-6 for x, y in ends):
                # the foot of the perpendicular lies on the step, or an end is nearest
                along = min(1.0, max(0.0, (row - column) / 2))
                x, y = column + along, row - along
                least = min(least, (x * x + y * y) ** 0.5 * GRID_MM)
    return least


@lru_cache(maxsize=1024)
def clear_mm(radius_mm: float, x_mm: float, y_mm: float, half_mm: tuple[float, ...]) -> float:
    """The clearance that places must keep from a disc so that tracks of these half widths keep the rule's."""
    on_grid = all(abs(at / GRID_MM - round(at / GRID_MM)) < 1e-6 for at in (x_mm, y_mm))
    if on_grid and all(nearest_mm(radius_mm + half + CLEAR_MM) >= radius_mm + half + LEAST_MM for half in half_mm):
        return CLEAR_MM
    return SLANT_MM
