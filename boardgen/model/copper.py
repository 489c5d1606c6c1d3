"""The board as a board house sees it: copper, holes and legend in whole nanometres, y upwards from the lower left."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from msgspec import Struct, field

Side = Literal["top", "bottom"]
SIDES: tuple[Side, Side] = ("top", "bottom")
Point = tuple[int, int]


class Track(Struct, frozen=True):
    """A straight track with round ends. `surge` marks copper that must bear a surge."""

    side: Side
    start: Point
    end: Point
    width_nm: int
    net: str
    surge: bool = False


class Land(Struct, frozen=True):
    """The copper of one pad of a part.

    A hole above 0 goes through the board and has the same land on both sides; without a hole the land is on the top.
    A land as wide as high around a hole is round, any other a rectangle. `net` is "" for a pin left free.
    """

    ref: str
    pad: str
    at: Point
    width_nm: int
    height_nm: int
    hole_nm: int
    net: str

    @property
    def is_round(self) -> bool:
        """Whether the land is a disc."""
        return self.hole_nm > 0 and self.width_nm == self.height_nm

    @property
    def sides(self) -> tuple[Side, ...]:
        """The copper it lies on."""
        return SIDES if self.hole_nm else ("top",)


class Via(Struct, frozen=True):
    """A plated hole that joins both sides, covered by the mask."""

    at: Point
    land_nm: int
    hole_nm: int
    net: str


class Region(Struct, frozen=True):
    """An area of copper: its outline, and clear areas inside."""

    side: Side
    outline: tuple[Point, ...]
    clear: tuple[tuple[Point, ...], ...]
    net: str


class Opening(Struct, frozen=True):
    """An unplated hole, such as for a screw. `keep_nm` is the width of the disc to keep free of copper."""

    at: Point
    hole_nm: int
    keep_nm: int


class Standing(Struct, frozen=True):
    """A part in its place: footprint origin, quarter turns anticlockwise, body rectangle and its height."""

    ref: str
    footprint: str
    at: Point
    turn: int
    body: tuple[int, int, int, int]
    height_nm: int | None
    fitted: bool = True
    kind: str = ""


class Stroke(Struct, frozen=True):
    """A line of the legend."""

    points: tuple[Point, ...]
    width_nm: int


class Text(Struct, frozen=True):
    """A piece of legend: what it says and the box it fills."""

    words: str
    box: tuple[int, int, int, int]
    strokes: tuple[Stroke, ...]


class Board(Struct, frozen=True):
    """A laid-out board, lower left corner at 0, 0."""

    title: str
    revision: str
    width_nm: int
    height_nm: int
    tracks: tuple[Track, ...]
    lands: tuple[Land, ...]
    vias: tuple[Via, ...]
    regions: tuple[Region, ...]
    openings: tuple[Opening, ...]
    standings: tuple[Standing, ...]
    outlines: tuple[Stroke, ...] = ()
    texts: tuple[Text, ...] = ()
    facts: Mapping[str, float] = field(default_factory=dict)

    @property
    def area_m2(self) -> float:
        """Area of the board in square metres."""
        return self.width_nm * self.height_nm * 1e-18
