"""Everything that is checked of a layout before a board house sees it."""

from __future__ import annotations

from collections.abc import Mapping

from boardgen.board import check_copper, check_drill, check_face
from boardgen.board.extract import compare, groups, wanted
from boardgen.board.rules import Rules
from boardgen.board.solids import solids
from boardgen.model.copper import Board
from boardgen.model.netlist import Netlist
from boardgen.model.part import Footprint
from boardgen.model.problem import Problem

TOUCH_MM = 1e-7


def check(board: Board, netlist: Netlist, footprints: Mapping[str, Footprint], rules: Rules) -> tuple[Problem, ...]:
    """Every fault of a board, with id, place and sentence; empty for a good one."""
    copper = solids(board)
    near = copper.near(rules.clearance)
    touching = near[2] <= TOUCH_MM
    group = groups(len(copper.cores), near[0][touching], near[1][touching])
    found = compare(copper, board.pads, group, wanted(netlist))
    found += check_copper.clearance(copper, near, group, rules.clearance)
    found += check_copper.creepage(board, copper, group, rules.surge_clearance)
    found += check_copper.widths(board, rules)
    found += check_copper.edges(board, copper, rules.house.copper_to_edge)
    found += check_copper.corners(board)
    found += check_drill.drills(board, rules.house)
    found += check_face.courtyards(board, footprints)
    found += check_face.mask_webs(board, rules.house)
    found += check_face.legend(board, rules.house)
    return tuple(found)
