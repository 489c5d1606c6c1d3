"""Twenty boards read back from their files by independent readers: areas, counts, bounds, and what is joined."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from boardgen.board.connectivity import BOTTOM, TOP, copper_geometry
from boardgen.documents.fabrication import FOLDER, fabrication_files
from boardgen.model.copper import Board
from boardgen.model.netlist import Netlist
from tests.board.boards import made
from tests.board.independent_copper import area_and_bounds, read_copper
from tests.circuit.options import SIGNAL, combinations

ALL = list(combinations(SIGNAL))
BOARDS = [
    (ALL[number], 1 + place % 4, place % 5 != 0) for place, number in enumerate(range(13, len(ALL), len(ALL) // 20))
]


def files_of(board: Board, netlist: Netlist, rules) -> dict[str, bytes]:
    files = fabrication_files(board, netlist, rules, (), (), "boardgen 0", "2026-11-25")
    return {name.removeprefix(FOLDER): data for name, data in files.items()}


def drawn_area(board: Board, side: int) -> float:
    """Area of the copper that was drawn, in square millimetres."""
    found = copper_geometry(board)
    here = (found.sides & side) > 0
    solid = here & (found.radius_nm > 0)
    round_ends = shapely.buffer(found.cores[solid], found.radius_nm[solid])
    return float(shapely.union_all(np.concatenate([round_ends, found.cores[here & ~solid]])).area) * 1e-12


def test_there_are_twenty_different_boards() -> None:
    assert len({str(option) for option, _, _ in BOARDS}) >= 20


@pytest.mark.slow
@pytest.mark.parametrize("number", range(len(BOARDS)))
def test_independent_readers_see_the_netlist(number: int) -> None:
    option, ways, pour = BOARDS[number]
    layout, netlist, rules = made(option, ways, pour)
    assert layout.faults == ()
    board = layout.board
    copper = read_copper(files_of(board, netlist, rules))
    assert len(copper.holes) == sum(pad.hole_nm > 0 for pad in board.pads) + len(board.vias)
    for areas, side in ((copper.top, TOP), (copper.bottom, BOTTOM)):
        area, bounds = area_and_bounds(areas)
        assert area == pytest.approx(drawn_area(board, side), rel=2e-3)
        geometry = copper_geometry(board)
        boxes = geometry.boxes[(geometry.sides & side) > 0] * 1e-6
        wanted = (*boxes[:, :2].min(axis=0), *boxes[:, 2:].max(axis=0))
        assert bounds == pytest.approx(wanted, abs=2e-3)
    joined = {(node.ref, node.pad) for net in netlist.nets for node in net.nodes}
    assert copper.groups == len(netlist.nets) + sum((pad.ref, pad.number) not in joined for pad in board.pads)
    places = {(pad.ref, pad.number): (pad.at[0] / 1e6, pad.at[1] / 1e6) for pad in board.pads}
    root_of = {}
    for net in netlist.nets:
        roots = {copper.root(piece) for node in net.nodes for piece in copper.at(places[node.ref, node.pad], 0)}
        assert len(roots) == 1, net.name
        root_of[net.name] = roots.pop()
    assert len(set(root_of.values())) == len(netlist.nets)


@pytest.mark.slow
@pytest.mark.parametrize("fault", ["bridge", "missing hole"])
def test_the_reading_sees_a_planted_fault(fault: str) -> None:
    """So that the test above cannot pass blindly."""
    layout, netlist, rules = made({"feed": "plain"}, 1)
    files = files_of(layout.board, netlist, rules)
    good = read_copper(files).groups
    if fault == "bridge":
        text = files["copper-top.gbr"].decode()
        # straight down the middle of the board, over the rails
        x, high = layout.board.width_nm // 2, layout.board.height_nm
        line = f"%ADD99C,0.3*%\nD99*\nX{x}Y5000000D02*\nX{x}Y{high - 5000000}D01*\nM02*"
        assert read_copper(files | {"copper-top.gbr": text.replace("M02*", line).encode()}).groups < good
        return
    x, y = next(via.at for via in layout.board.vias if via.net == "bus braid")
    drill = files["drill-plated.drl"].decode().replace(f"X{x / 1e6:.6f}Y{y / 1e6:.6f}\n", "")
    assert read_copper(files | {"drill-plated.drl": drill.encode()}).groups > good
