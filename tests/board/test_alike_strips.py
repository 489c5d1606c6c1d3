"""Strips that the layout takes for alike are alike: the same jobs, whatever their nets and parts are called."""

from __future__ import annotations

import pytest

from boardgen.board import alike
from boardgen.board.routing_grid import Capsule, Class, Maze
from boardgen.board.strip_cells import Context, cell_jobs, pad_nets
from boardgen.board.strips import net_kinds, plan
from boardgen.design import make_design
from boardgen.request import Request
from boardgen.spec.load import read_text
from boardgen.spec.template import with_ways
from tests.board.made_boards import CATALOGUE

TRACK = Class(0.15, 0.28)


@pytest.mark.parametrize("template", ["four-way", "eight-way"])
@pytest.mark.parametrize("together", [(), ("feed", "braid breaker", "selector")])
def test_the_first_of_each_form_has_the_jobs_of_all(template: str, together: tuple[str, ...]) -> None:
    design = make_design(Request(read_text(with_ways(template, 12)), CATALOGUE))
    kinds = net_kinds(design.netlist)
    rails = tuple(n for n in ("bus centre", "bus braid", "coil supply", "feed shared", "0V") if n in kinds)
    pads = pad_nets(design.netlist, CATALOGUE.footprints)
    context = Context(design.netlist, CATALOGUE.footprints, kinds, pads, design.rules, 26, rails, True)
    strips = plan(design.netlist, together)
    jobs = {tuple(cell.job for cell in cell_jobs(context, strip)) for strip in strips}
    chosen = alike.distinct(context, strips)
    assert {tuple(cell.job for cell in cell_jobs(context, strip)) for strip in chosen} == jobs
    assert 1 < len(chosen) < len(strips)
    assert alike.strip_jobs(context, strips) == [cell_jobs(context, strip) for strip in strips]


def test_a_long_search_notices_that_there_is_no_way() -> None:
    """A wall on both sides across the whole grid; a gap of one clearance in it lets a track through."""
    for gap, found in ((False, False), (True, True)):
        maze = Maze(40, 40, [TRACK])
        for side in (0, 1):
            ends = ((0.0, 8.0), (12.0, 25.4)) if gap else ((0.0, 25.4),)
            for left, right in ends:
                maze.block((side,), Capsule(left, -12.7, right, -12.7, 0.15), 2, 0.28)
        path = maze.search(TRACK, 1, [maze.node((0, 5, 20))], {maze.node((0, 35, 20)): frozenset()}, 0)
        assert (path is not None) is found
