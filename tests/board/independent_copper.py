"""The copper of written files as an independent reader sees it, and what its pieces join."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import shapely
from gerbonara import ExcellonFile
from gerbyx.parser import GerberParser
from gerbyx.processor import GerberProcessor
from gerbyx.tokenizer import tokenize_gerber

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
