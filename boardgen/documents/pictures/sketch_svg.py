"""A sketch as SVG in millimetres: wires, dots, symbols and words, each in a group that says what it is."""

from __future__ import annotations

import functools
import itertools
import re
from collections import Counter
from collections.abc import Iterable
from html import escape

from boardgen.documents.lettering import MONO
from boardgen.documents.palette import INK, SOFT
from boardgen.kinds import SYMBOLS
from boardgen.kinds.symbol import MARKS
from boardgen.model.sketch import STEP_MM, TEXT_MM, Glyph, Link, Mark, Point, Sketch, Text, ems

WIRE_MM, BODY_MM, DOT_MM = 0.35, 0.5, 0.6
CAP_EMS, DESCENT_EMS = 0.8, 0.25
JOINED = 3
"""Ends and passings at a point from which on it is marked with a dot."""

Box = tuple[float, float, float, float]


def sketch_svg(sketch: Sketch, x_mm: float, y_mm: float) -> str:
    """The sketch with its origin at that place of the sheet."""
    parts = "".join(_glyph(glyph) for glyph in sketch.glyphs)
    marks = "".join(_mark(mark) for mark in sketch.marks)
    texts = "".join(_text(text) for text in sketch.texts)
    return (
        f'<g class="sketch" transform="translate({_n(x_mm)} {_n(y_mm)})">\n'
        f'<g fill="none" stroke="{INK}" stroke-width="{WIRE_MM}" stroke-linecap="round" stroke-linejoin="round">\n'
        f"{''.join(_wire(wire) for wire in sketch.wires)}{''.join(_link(link) for link in sketch.links)}{marks}</g>\n"
        f'<g fill="{INK}">{"".join(_dot(at) for at in dots(sketch))}</g>\n'
        f'<g fill="none" stroke="{INK}" stroke-width="{BODY_MM}" stroke-linecap="round" stroke-linejoin="round">\n'
        f"{parts}</g>\n"
        f'<g fill="{INK}" font-family="{MONO}" font-size="{TEXT_MM}">\n{texts}</g>\n</g>\n'
    )


def _n(value: float) -> str:
    """Millimetres, to the hundredth."""
    return f"{round(value, 2) + 0.0:g}"


def _at(point: Point) -> str:
    return f"{_n(point[0] * STEP_MM)} {_n(point[1] * STEP_MM)}"


def _wire(points: tuple[Point, ...]) -> str:
    return f'<path class="wire" d="M{"L".join(_at(point) for point in points)}"/>\n'


def _link(link: Link) -> str:
    return f'<path class="link" stroke-dasharray="1.2 1" d="M{_at(link.start)}L{_at(link.end)}"/>\n'


def _dot(at: Point) -> str:
    return f'<circle class="dot" cx="{_n(at[0] * STEP_MM)}" cy="{_n(at[1] * STEP_MM)}" r="{DOT_MM}"/>'


def _mark(mark: Mark) -> str:
    return f'<path class="mark" data-net="{mark.net}" transform="translate({_at(mark.at)})" d="{_sign(mark.net)}"/>\n'


@functools.cache
def _sign(net: str) -> str:
    return _millimetres(MARKS[net])


@functools.cache
def _symbol(key: str) -> str:
    symbol = SYMBOLS[key]
    filled = f'<path fill="{INK}" stroke="none" d="{_millimetres(symbol.filled)}"/>' if symbol.filled else ""
    leads = f'<path class="lead" stroke-width="{WIRE_MM}" d="{_millimetres(symbol.leads)}"/>'
    return f'{leads}<path d="{_millimetres(symbol.outline)}"/>{filled}'


def _millimetres(path: str) -> str:
    """A path in steps as one in millimetres. The flags of an arc are whole numbers between commands and stay."""

    def command(match: re.Match[str]) -> str:
        letter, numbers = match.group(1), [float(n) for n in match.group(2).split()]
        kept = (2, 3, 4) if letter == "A" else ()
        shown = [f"{n:g}" if index in kept else _n(n * STEP_MM) for index, n in enumerate(numbers)]
        return letter + " ".join(shown)

    return re.sub(r"([MLAZ])([^MLAZ]*)", command, path)


def _glyph(glyph: Glyph) -> str:
    turn = f" rotate({90 * glyph.turn})" if glyph.turn else ""
    flip = " scale(1 -1)" if glyph.flip else ""
    pins = escape("|".join(glyph.pins))
    return (
        f'<g class="part" data-ref="{escape(glyph.ref)}" data-symbol="{glyph.symbol}" data-pins="{pins}" '
        f'transform="translate({_at(glyph.at)}){turn}{flip}">{_symbol(glyph.symbol)}</g>\n'
    )


def _text(text: Text) -> str:
    anchor = "" if text.anchor == "start" else f' text-anchor="{text.anchor}"'
    soft = f' fill="{SOFT}"' if text.kind.startswith("net") else ""
    return (
        f'<text class="{text.kind}" x="{_n(text.at[0] * STEP_MM)}" y="{_n(text.at[1] * STEP_MM)}"{anchor}{soft}>'
        f"{escape(text.words)}</text>\n"
    )


def dots(sketch: Sketch) -> list[Point]:
    """Where three or more wires and terminals meet, in order."""
    wires = [tuple(_rounded(point) for point in wire) for wire in sketch.wires]
    ends = [wire[index] for wire in wires for index in (0, -1)]
    ends += [_rounded(end) for glyph in sketch.glyphs for end in ends_of(glyph)]
    ends += [_rounded(mark.at) for mark in sketch.marks]
    meeting = Counter(ends)
    for wire in wires:
        for point in meeting:
            if _passes(wire, point):
                # it counts for both its ways
                meeting[point] += 2
    return sorted(point for point, count in meeting.items() if count >= JOINED)


def ends_of(glyph: Glyph) -> list[Point]:
    """Where the terminals of a symbol lie."""
    return [glyph.place(terminal) for terminal in SYMBOLS[glyph.symbol].terminals]


def _rounded(point: Point) -> Point:
    return round(point[0], 3), round(point[1], 3)


def _passes(wire: tuple[Point, ...], point: Point) -> bool:
    """Whether the point lies on the wire, but not at an end of it."""
    if point in (wire[0], wire[-1]):
        return False
    return any(_between(point, a, b) for a, b in itertools.pairwise(wire))


def _between(point: Point, a: Point, b: Point) -> bool:
    """Whether a point lies on a wire across or down."""
    x, y = point
    if a[1] == b[1] == y:
        return min(a[0], b[0]) <= x <= max(a[0], b[0])
    return a[0] == b[0] == x and min(a[1], b[1]) <= y <= max(a[1], b[1])


def box(sketch: Sketch) -> Box:
    """Left, top, right and bottom of everything in the sketch, in millimetres."""
    boxes = list(_boxes(sketch))
    left, top, right, bottom = zip(*boxes, strict=True)
    return min(left), min(top), max(right), max(bottom)


def _boxes(sketch: Sketch) -> Iterable[Box]:
    for wire in sketch.wires:
        for x, y in wire:
            yield x * STEP_MM, y * STEP_MM, x * STEP_MM, y * STEP_MM
    for glyph in sketch.glyphs:
        a, b, c, d = SYMBOLS[glyph.symbol].box
        for x, y in (glyph.place(corner) for corner in ((a, b), (c, d))):
            yield x * STEP_MM, y * STEP_MM, x * STEP_MM, y * STEP_MM
    for mark in sketch.marks:
        x, y = mark.at[0] * STEP_MM, mark.at[1] * STEP_MM
        yield x - 2.5, y, x + 2.5, y + 4.5
    for text in sketch.texts:
        yield text_box(text)


def text_box(text: Text) -> Box:
    """The room of a text, in millimetres."""
    wide = ems(text.words) * TEXT_MM
    x, y = text.at[0] * STEP_MM, text.at[1] * STEP_MM
    left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[text.anchor]
    return left, y - CAP_EMS * TEXT_MM, left + wide, y + DESCENT_EMS * TEXT_MM
