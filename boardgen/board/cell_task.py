"""A cell to lay out, in a form that is equal for equal cells of any strip and any board, and what comes of it."""

from __future__ import annotations

from msgspec import Struct

from boardgen.board.rotated_footprint import Shape, shape
from boardgen.board.routing_grid import Class
from boardgen.model.part import Footprint

Token = tuple[str, int]
"""A net inside a cell: its kind (a key of `Job.kinds`) and a number. Number 0 of "0V" and "earth" is the net itself."""
FENCE_MM = 1.0
"""Width of the 0V track at either edge of a strip."""
TOGETHER = " and "
"""Between the names of stages that share a cell."""
ZERO: Token = ("0V", 0)
EARTH: Token = ("earth", 0)


class Kind(Struct, frozen=True):
    """How the nets of a kind are drawn: class of track, and the side they keep to (0 top, 1 bottom)."""

    track: Class
    side: int


class SeatJob(Struct, frozen=True):
    """A part: its pattern, the turns it may take, and the token of each pad in the footprint's order (None: free).

    `fixed` is column, row and turn where the place is given. Turns from 4 on are those of `upright`, the pattern of the
    part standing on end.
    """

    footprint: Footprint
    rotations: tuple[int, ...]
    nets: tuple[Token | None, ...]
    fixed: tuple[int, int, int] | None = None
    upright: Footprint | None = None

    def pattern(self, turn: int) -> Footprint:
        """The footprint that stands in this turn."""
        return self.upright if turn >= 4 and self.upright else self.footprint

    def form(self, turn: int) -> Shape:
        """The pattern in this turn."""
        return shape(self.pattern(turn), turn)


class PortJob(Struct, frozen=True):
    """Where a net crosses the upper or lower edge of a cell."""

    net: Token
    column: int
    side: int


class Drawn(Struct, frozen=True):
    """A track that is given; ends in columns and rows, which may be fractions. `wall` may be met anywhere."""

    side: int
    start: tuple[float, float]
    end: tuple[float, float]
    width_mm: float
    net: Token
    surge: bool = False
    wall: bool = False


class Job(Struct, frozen=True):
    """A cell to lay out. `rows` is the height where it is given, else 0."""

    stage: str
    columns: int
    rows: int
    parts: tuple[SeatJob, ...]
    above: tuple[PortJob, ...]
    below: tuple[PortJob, ...]
    drawn: tuple[Drawn, ...]
    vias: tuple[tuple[float, float, Token], ...]
    walls: tuple[bool, bool]
    kinds: tuple[tuple[str, Kind], ...]
    wall_from: int = 0
    wall_to: int = 0
    """Rows of the fence: from this row, and to this row counted from the foot."""
    rails_to: int = 0
    """Down to this row the top belongs to the rails: no fence there, and no land in what they cover."""
    rails_nm: tuple[int, int] = (0, 0)
    """From and to which depth the rails and a clearance cover the top."""
    thorough: bool = False
    """Whether every arrangement is tried; else only the first few, which find a way for nearly every cell."""


class Laid(Struct, frozen=True):
    """A cell laid out, columns and rows as in the job: places of the seats, tracks, vias, and the rows it takes."""

    rows: int
    places: tuple[tuple[int, int, int], ...]
    tracks: tuple[Drawn, ...]
    vias: tuple[tuple[float, float, Token], ...]
