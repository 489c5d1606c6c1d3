"""A cell to be placed and routed, equal for equal cells of any strip and any board, and what comes of it.

Places of parts are columns and rows of the routing grid, counted right and down from the upper left corner of the cell.
Ends of track segments are nanometres, counted the same way.
"""

from __future__ import annotations

from msgspec import Struct

from boardgen.board.rotated_footprint import RotatedFootprint, rotated
from boardgen.board.rules import GRID_NM, NetClass
from boardgen.model.cell import CellPlace
from boardgen.model.copper import PointNm
from boardgen.model.part import Footprint

LocalNet = tuple[str, int]
"""A net inside a cell: the name of its class and a number. Number 0 of "0V" and "earth" is the board's net itself."""
ZERO: LocalNet = ("0V", 0)
EARTH: LocalNet = ("earth", 0)
UPRIGHT = 4
"""Rotations from this one on are those of the part standing on end."""
PartPlace = tuple[int, int, int]
"""Column and row of a part's origin, and its rotation."""
CellVia = tuple[PointNm, LocalNet]


class PartTask(Struct, frozen=True):
    """A part to place: its footprint, the rotations it may take, and the net of each pad in its order (None: free).

    `fixed` is the place where it is given. Rotations from UPRIGHT on are those of `upright`, the footprint of the part
    standing on end. Where it is `clear_beneath`, no pour lies under its body; where it is `solid`, its pads on 0V enter
    the pour without thermal relief.
    """

    footprint: Footprint
    rotations: tuple[int, ...]
    nets: tuple[LocalNet | None, ...]
    fixed: PartPlace | None = None
    upright: Footprint | None = None
    clear_beneath: bool = False
    solid: bool = False

    def rotated(self, rotation: int) -> RotatedFootprint:
        """The footprint in this rotation."""
        return rotated(self.upright if rotation >= UPRIGHT and self.upright else self.footprint, rotation)


class EdgePin(Struct, frozen=True):
    """Where a net crosses the upper or lower edge of a cell: its column, and its side (0 top, 1 bottom)."""

    net: LocalNet
    column: int
    side: int


class Segment(Struct, frozen=True):
    """A straight track with round ends. `surge` copper bears a surge."""

    side: int
    start: PointNm
    end: PointNm
    width_nm: int
    net: LocalNet
    surge: bool = False


class CellTask(Struct, frozen=True):
    """A cell to place and route.

    Parameters
    ----------
    stage : its name, for people
    columns, rows : its width, and its height where that is given, else 0
    parts : what stands in it
    above, below : what crosses its upper and lower edge
    segments, vias : copper that is given
    guard_traces : whether there is one at the left and at the right
    net_classes : how the nets of each class are drawn
    guard_from, guard_to : rows of the guard trace: from this row, and to this row counted from the foot
    bus_to : down to this row the top belongs to the bus: no guard trace there, and no pad in what it covers
    bus_nm : from and to which depth the bus and a clearance cover the top
    place : where in the strip it lies
    shared : whether it holds the parts of several stages
    thorough : whether every arrangement is tried; else only the first few, which find a way for nearly every cell

    """

    stage: str
    columns: int
    rows: int
    parts: tuple[PartTask, ...]
    above: tuple[EdgePin, ...]
    below: tuple[EdgePin, ...]
    segments: tuple[Segment, ...]
    vias: tuple[CellVia, ...]
    guard_traces: tuple[bool, bool]
    net_classes: tuple[tuple[str, NetClass], ...]
    guard_from: int = 0
    guard_to: int = 0
    bus_to: int = 0
    bus_nm: tuple[int, int] = (0, 0)
    place: CellPlace = "path"
    shared: bool = False
    thorough: bool = False


class RoutedCell(Struct, frozen=True):
    """A cell placed and routed: the rows it takes, the places of its parts, and all its copper, given one included."""

    rows: int
    places: tuple[PartPlace, ...]
    segments: tuple[Segment, ...]
    vias: tuple[CellVia, ...]


def on_grid(column: int, row: int) -> PointNm:
    """A place of the grid in nanometres."""
    return column * GRID_NM, row * GRID_NM
