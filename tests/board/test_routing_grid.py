"""The search for the way of a track."""

from __future__ import annotations

import itertools

from boardgen.board.routing_grid import SHUT, Class, Maze

KIND = Class(0.15, 0.2)


def test_no_two_holes_of_one_way_meet() -> None:
    """A goal that may not be entered from the left, in a corridor: the cheapest way would change sides beside it."""
    maze = Maze(20, 5, {KIND})
    for row in (0, 1, 3, 4):
        maze.owner[KIND][:, row + 1] = SHUT
    start, goal = maze.node((0, 2, 4)), maze.node((0, 2, 12))
    path = maze.search(KIND, 1, {start}, {goal: frozenset({4})}, side=0)
    assert path is not None
    assert (path[0], path[-1]) == (start, goal)
    holes = [maze.step(one)[2] for one, two in itertools.pairwise(path) if abs(two - one) == maze.plane]
    assert len(holes) == 2
    assert abs(holes[0] - holes[1]) >= 2
