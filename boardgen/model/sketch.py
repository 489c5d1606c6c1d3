"""What a stage asks of the schematic: symbols, wires and words on a raster, as plain data.

Points are in steps of the raster of 2.54 mm, x to the right and y down.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

STEP_MM = 2.54
TEXT_MM = 2.5
LETTER_EMS = 0.61
"""Advance of a letter of a fixed-pitch face in ems, on the large side: 0.602 in DejaVu Sans Mono, 0.600 in others."""
WIDE_EMS, OTHER_EMS = 1.0, 1.4
"""East Asian letters, which other faces lend, and letters of which nothing is known."""

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]
Words = Literal["ref", "value", "net", "net below", "mark", "pin"]
"""What a text is: its part's designator or value, the name of the wire under or over it, or the letters of a mark."""

_TURNED: dict[Anchor, Anchor] = {"start": "end", "middle": "middle", "end": "start"}


class Glyph(Struct, frozen=True):
    """A symbol in its place: first mirrored top to bottom where `flip`, then turned by quarters clockwise.

    `pins` names the part's pin role at each terminal of the symbol, in the symbol's order, "" where there is none.
    """

    ref: str
    symbol: str
    at: Point
    turn: int = 0
    flip: bool = False
    pins: tuple[str, ...] = ()

    def place(self, point: Point) -> Point:
        """Where a point of the symbol lies on the sketch."""
        x, y = point
        if self.flip:
            y = -y
        for _ in range(self.turn % 4):
            x, y = -y, x
        return self.at[0] + x, self.at[1] + y


class Text(Struct, frozen=True):
    """Words on the sketch, `at` on the baseline. `owner` is the designator or the net that they are about."""

    at: Point
    words: str
    kind: Words
    owner: str = ""
    anchor: Anchor = "start"


class Mark(Struct, frozen=True):
    """The sign of 0V or of earth, hanging down from a point."""

    net: str
    at: Point


class Link(Struct, frozen=True):
    """A mechanical link between two points, which joins nothing electrically."""

    start: Point
    end: Point


class Sketch(Struct, frozen=True):
    """A piece of the schematic. Wires run as far as `right` to the next piece, where the pair `inward` goes on."""

    glyphs: tuple[Glyph, ...] = ()
    wires: tuple[tuple[Point, ...], ...] = ()
    texts: tuple[Text, ...] = ()
    marks: tuple[Mark, ...] = ()
    links: tuple[Link, ...] = ()
    right: float = 0.0
    inward: tuple[str, str] = ("", "")

    def moved(self, x: float, y: float) -> Sketch:
        """The same piece further right and down."""

        def shift(point: Point) -> Point:
            return point[0] + x, point[1] + y

        return replace(
            self,
            glyphs=tuple(replace(g, at=shift(g.at)) for g in self.glyphs),
            wires=tuple(tuple(map(shift, wire)) for wire in self.wires),
            texts=tuple(replace(t, at=shift(t.at)) for t in self.texts),
            marks=tuple(replace(m, at=shift(m.at)) for m in self.marks),
            links=tuple(Link(shift(k.start), shift(k.end)) for k in self.links),
        )

    def mirrored(self) -> Sketch:
        """The same piece left to right, its words still to be read."""

        def mirror(point: Point) -> Point:
            return -point[0], point[1]

        return replace(
            self,
            # left to right is top to bottom and half a turn more
            glyphs=tuple(replace(g, at=mirror(g.at), turn=(2 - g.turn) % 4, flip=not g.flip) for g in self.glyphs),
            wires=tuple(tuple(map(mirror, wire)) for wire in self.wires),
            texts=tuple(replace(t, at=mirror(t.at), anchor=_TURNED[t.anchor]) for t in self.texts),
            marks=tuple(replace(m, at=mirror(m.at)) for m in self.marks),
            links=tuple(Link(mirror(k.start), mirror(k.end)) for k in self.links),
        )


def together(pieces: Iterable[Sketch]) -> Sketch:
    """Pieces that are in place already, as one."""
    pieces = tuple(pieces)
    return Sketch(
        glyphs=tuple(g for p in pieces for g in p.glyphs),
        wires=tuple(w for p in pieces for w in p.wires),
        texts=tuple(t for p in pieces for t in p.texts),
        marks=tuple(m for p in pieces for m in p.marks),
        links=tuple(k for p in pieces for k in p.links),
    )


def ems(words: str) -> float:
    """Width of words in a fixed-pitch face, in ems, on the large side, since the reader's face is not known."""
    return sum(_ems(letter) for letter in words)


def _ems(letter: str) -> float:
    if letter < "\u0250" or "\u0370" <= letter < "\u0530" or letter == "…":
        return LETTER_EMS
    if unicodedata.combining(letter):
        return 0.0
    return WIDE_EMS if unicodedata.east_asian_width(letter) in "WF" and letter < "\U0001f000" else OTHER_EMS


def steps(words: str) -> float:
    """Width of words of the usual height, in steps."""
    return ems(words) * TEXT_MM / STEP_MM
