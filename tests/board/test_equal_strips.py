"""Strips that the layout takes for alike are alike: the same tasks, whatever their nets and parts are called."""

from __future__ import annotations

import pytest

from boardgen.board.layout_context import LayoutContext, pad_nets
from boardgen.board.routing_grid import Capsule, RoutingGrid
from boardgen.board.rules import GRID_NM, TrackClass
from boardgen.board.strip_cells import cell_tasks
from boardgen.board.strip_rows import firsts_of_form, tasks_of_all
from boardgen.board.strips import net_classes, plan_strips
from boardgen.design import make_design
from boardgen.request import Request
from boardgen.spec.load import read_text
from boardgen.spec.template import with_ways
from tests.board.boards import CATALOGUE

TRACK = TrackClass(300_000, 280_000)


@pytest.mark.parametrize("template", ["four-way", "eight-way"])
@pytest.mark.parametrize("shared", [(), ("feed", "braid breaker", "selector")])
def test_the_first_of_each_form_has_the_jobs_of_all(template: str, shared: tuple[str, ...]) -> None:
    design = make_design(Request(read_text(with_ways(template, 12)), CATALOGUE))
    classes = net_classes(design.netlist)
    bus = tuple(n for n in ("bus centre", "bus braid", "coil supply", "feed shared", "0V") if n in classes)
    pads = pad_nets(design.netlist, CATALOGUE.footprints)
    context = LayoutContext(design.netlist, CATALOGUE.footprints, classes, pads, design.rules, 26, bus, True)
    strips = plan_strips(design.netlist, shared)
    tasks = {tuple(cell.task for cell in cell_tasks(context, strip)) for strip in strips}
    chosen = [strips[number] for number in dict.fromkeys(firsts_of_form(context, strips))]
    assert {tuple(cell.task for cell in cell_tasks(context, strip)) for strip in chosen} == tasks
    assert 1 < len(chosen) < len(strips)
    assert tasks_of_all(context, strips) == [cell_tasks(context, strip) for strip in strips]


def test_a_long_search_notices_that_there_is_no_way() -> None:
    """A wall on both sides across the whole grid; a gap of one clearance in it lets a track through."""
    middle, end = 20 * GRID_NM, 40 * GRID_NM
    middle, end = 20 * GRID_NM, 40 * GRID_NM
    for gap, found in ((False, False), (True, True)):
        grid = RoutingGrid(40, 40, [TRACK])
        for side in (0, 1):
            ends = ((0, 8_000_000), (12_000_000, end)) if gap else ((0, end),)
            for left, right in ends:
                grid.block((side,), Capsule(left, middle, right, middle, 150_000), 2, 280_000)
        path = grid.search(TRACK, 1, [grid.node((0, 5, 20))], {grid.node((0, 35, 20)): frozenset()}, 0)
        assert (path is not None) is found
