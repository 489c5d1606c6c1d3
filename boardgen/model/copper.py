"""A laid-out board as a board house sees it: copper, holes and silkscreen in whole nanometres.

The origin is the lower left corner of the board, y points upwards, and everything is seen from the top.
"""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

Side = Literal["top", "bottom"]
SIDES: tuple[Side, Side] = ("top", "bottom")
PointNm = tuple[int, int]


class Track(Struct, frozen=True):
    """A straight track with round ends. `surge` marks copper that must bear a surge."""

    side: Side
    start: PointNm
    end: PointNm
    width_nm: int
    net: str
    surge: bool = False


class PlacedPad(Struct, frozen=True):
    """The copper of one pad of a part in its place: designator, number of the pad, centre and size.

    A hole above 0 goes through the board and has the same copper on both sides; without a hole the pad is on the top.
    A pad as wide as high around a hole is round, any other a rectangle. `net` is "" for a pin left free. A `solid` one
    enters the pour without thermal relief.
    """

    ref: str
    number: str
    at: PointNm
    width_nm: int
    height_nm: int
    hole_nm: int
    net: str
    solid: bool = False

    @property
    def is_round(self) -> bool:
        """Whether the pad is a disc."""
        return self.hole_nm > 0 and self.width_nm == self.height_nm

    @property
    def sides(self) -> tuple[Side, ...]:
        """The sides that it has copper on."""
        return SIDES if self.hole_nm else ("top",)


class Via(Struct, frozen=True):
    """A plated hole that joins both sides, covered by the mask; diameters of its pad and of the finished hole."""

    at: PointNm
    pad_nm: int
    hole_nm: int
    net: str


class Region(Struct, frozen=True):
    """An area of copper: its outline, and clear areas inside."""

    side: Side
    outline: tuple[PointNm, ...]
    clear: tuple[tuple[PointNm, ...], ...]
    net: str


class MountingHole(Struct, frozen=True):
    """An unplated hole for a screw: its diameter, and that of the keep-out about it."""

    at: PointNm
    hole_nm: int
    keepout_nm: int


class PlacedPart(Struct, frozen=True):
    """A part in its place.

    `at` is the origin of its footprint, `rotation` counts quarter turns anticlockwise, `body` is left, bottom, right
    and top of the component body on the board, `height_nm` how far it stands up, None where that is not known.
    """

    ref: str
    footprint: str
    at: PointNm
    rotation: int
    body: tuple[int, int, int, int]
    height_nm: int | None
    fitted: bool = True
    kind: str = ""


class Stroke(Struct, frozen=True):
    """A line of the silkscreen, of a part's drawing or of a text; `ref` is the part that it draws."""

    points: tuple[PointNm, ...]
    width_nm: int
    ref: str = ""


class SilkscreenText(Struct, frozen=True):
    """A text on the silkscreen: what it says, the box it fills (left, bottom, right, top), and its strokes.

    `upright` tells that it reads from below upwards, `ref` is the part that it is about.
    """

    words: str
    box: tuple[int, int, int, int]
    strokes: tuple[Stroke, ...]
    upright: bool = False
    ref: str = ""


class Bus(Struct, frozen=True):
    """The pair that joins all strips: for each row of strips the heights of centre and braid, and how wide they are.

    `header_nm` is where the upright track lies that joins the centres of several rows.
    """

    rows_nm: tuple[tuple[int, int], ...]
    width_nm: int
    header_nm: int = 0


class LayoutFacts(Struct, frozen=True):
    """What the layout knows of a board beside its copper.

    `pitch_nm` is the width of the narrowest strips and `widest_nm` that of the widest; `lefts_nm` are the left edges of
    those of the longest row. `along_nm` says for each stage what the fullest strip takes along its length.
    Some designators are hidden under a body, some stand astray, nearer to another part than to their own, and some are
    missing: they have found no place. `names_astray` counts words at ports, terminals and windings that stand so.
    """

    pitch_nm: int = 0
    widest_nm: int = 0
    lefts_nm: tuple[int, ...] = ()
    strips: int = 0
    rows: int = 0
    along_nm: tuple[tuple[str, int], ...] = ()
    bus: Bus | None = None
    designators_hidden: int = 0
    designators_astray: int = 0
    designators_missing: int = 0
    names_astray: int = 0


class Board(Struct, frozen=True):
    """A laid-out board."""

    title: str
    revision: str
    width_nm: int
    height_nm: int
    tracks: tuple[Track, ...]
    pads: tuple[PlacedPad, ...]
    vias: tuple[Via, ...]
    regions: tuple[Region, ...]
    mounting_holes: tuple[MountingHole, ...]
    parts: tuple[PlacedPart, ...]
    silkscreen_lines: tuple[Stroke, ...] = ()
    silkscreen_texts: tuple[SilkscreenText, ...] = ()
    layout: LayoutFacts = LayoutFacts()

    def __repr__(self) -> str:
        size = f"{self.width_nm / 1e6:.1f} x {self.height_nm / 1e6:.1f} mm"
        return f"<Board {self.title}, revision {self.revision}: {size}, {len(self.parts)} parts>"

    @property
    def area_m2(self) -> float:
        """Area of the board in square metres."""
        return self.width_nm * self.height_nm * 1e-18
