"""The copper of written files as an independent reader sees it, and what its pieces join."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import pytest
import shapely
from gerbonara import ExcellonFile
from gerbyx.parser import GerberParser
from gerbyx.processor import GerberProcessor
from gerbyx.tokenizer import tokenize_gerber

from boardgen.board.connectivity import BOTTOM, TOP, copper_geometry
from boardgen.board.rules import Rules
from boardgen.documents.fabrication import FOLDER, fabrication_files
from boardgen.model.copper import Board
from boardgen.model.netlist import Netlist

Point = tuple[float, float]


def pieces(text: str) -> list[shapely.Polygon]:
    """The separate areas of one layer, in millimetres."""
    processor = GerberProcessor()
    GerberParser(processor).parse(tokenize_gerber(text))
    return list(processor.geometries)


@dataclass
class PeerCopper:
    """Both sides as separate areas, and the plated holes, all from the files."""

    top: list[shapely.Polygon]
    bottom: list[shapely.Polygon]
    holes: list[Point]

    def __post_init__(self) -> None:
        self.trees = [shapely.STRtree(side) for side in (self.top, self.bottom)]
        self.parent = list(range(len(self.top) + len(self.bottom)))
        for hole in self.holes:
            here = self.at(hole, 0) + self.at(hole, 1)
            for other in here[1:]:
                self.parent[self.root(other)] = self.root(here[0])

    def at(self, point: Point, side: int) -> list[int]:
        """The areas of a side (0 top, 1 bottom) at a point, as numbers through both sides."""
        found = self.trees[side].query(shapely.Point(point), predicate="intersects")
        return [int(number) + side * len(self.top) for number in found]

    def root(self, number: int) -> int:
        """The number that stands for everything joined to an area."""
        while self.parent[number] != number:
            number = self.parent[number]
        return number

    @property
    def groups(self) -> int:
        """How many pieces of copper there are when holes join the sides."""
        return len({self.root(number) for number in range(len(self.parent))})


def read_copper(files: Mapping[str, bytes]) -> PeerCopper:
    """Both copper layers and the plated holes of a fabrication folder."""
    drilled = ExcellonFile.from_string(files["drill-plated.drl"].decode())
    holes = [(float(item.x), float(item.y)) for item in drilled.objects]
    return PeerCopper(pieces(files["copper-top.gbr"].decode()), pieces(files["copper-bottom.gbr"].decode()), holes)


def area_and_bounds(areas: list[shapely.Polygon]) -> tuple[float, tuple[float, ...]]:
    """Area in square millimetres; left, bottom, right, top."""
    boxes = np.array([area.bounds for area in areas])
    return sum(area.area for area in areas), (*boxes[:, :2].min(axis=0), *boxes[:, 2:].max(axis=0))


def files_of(board: Board, netlist: Netlist, rules: Rules) -> dict[str, bytes]:
    files = fabrication_files(board, netlist, rules, (), (), "boardgen 0", "2026-11-25")
    return {name.removeprefix(FOLDER): data for name, data in files.items()}


def drawn_area(board: Board, side: int) -> float:
    """Area of the copper that was drawn, in square millimetres."""
    found = copper_geometry(board)
    here = (found.sides & side) > 0
    solid = here & (found.radius_nm > 0)
    round_ends = shapely.buffer(found.cores[solid], found.radius_nm[solid], quad_segs=64)
    return float(shapely.union_all(np.concatenate([round_ends, found.cores[here & ~solid]])).area) * 1e-12


def read_back(board: Board, netlist: Netlist, rules: Rules) -> None:
    """What independent readers find in the files is what was drawn, and joins what the netlist joins."""
    copper = read_copper(files_of(board, netlist, rules))
    assert len(copper.holes) == sum(pad.hole_nm > 0 for pad in board.pads) + len(board.vias)
    for areas, side in ((copper.top, TOP), (copper.bottom, BOTTOM)):
        area, bounds = area_and_bounds(areas)
        assert area == pytest.approx(drawn_area(board, side), rel=1e-3)
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
