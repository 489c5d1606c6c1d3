"""The search for the way of a track."""

from __future__ import annotations

import itertools

from boardgen.board.routing_grid import BLOCKED, RoutingGrid
from boardgen.board.rules import TrackClass

TRACK = TrackClass(300_000, 200_000)


def test_no_two_holes_of_one_way_meet() -> None:
    """A goal that may not be entered from the left, in a corridor: the cheapest way would change sides beside it."""
    grid = RoutingGrid(20, 5, {TRACK})
    for row in (0, 1, 3, 4):
        grid.occupancy_of[TRACK][:, row + 1] = BLOCKED
    start, goal = grid.node((0, 2, 4)), grid.node((0, 2, 12))
    path = grid.search(TRACK, 1, {start}, {goal: frozenset({4})}, side=0)
    assert path is not None
    assert (path[0], path[-1]) == (start, goal)
    holes = [grid.step(one)[2] for one, two in itertools.pairwise(path) if abs(two - one) == grid.plane]
    assert len(holes) == 2
    assert abs(holes[0] - holes[1]) >= 2
