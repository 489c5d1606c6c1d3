"""A sketch of a stage drawn on a canvas: wires, dots, symbols and words, each in a group that says what it is."""

from __future__ import annotations

import itertools
import re
from collections import Counter
from collections.abc import Iterable
from functools import cache
from typing import Any

from boardgen.documents.canvas import BODY_MM, DOT_MM, INK, SOFT, WIRE_MM, Canvas, number, place
from boardgen.documents.identity import of_refs
from boardgen.kinds import SYMBOLS
from boardgen.kinds.symbol import MARKS
from boardgen.model.sketch import STEP_MM, TEXT_MM, Glyph, Point, Sketch, Text, ems

CAP_EMS, DESCENT_EMS = 0.8, 0.25
JOINED = 3
"""Ends and passings at a point from which on it is marked with a dot."""

Box = tuple[float, float, float, float]


def draw_sketch(canvas: Canvas, sketch: Sketch, x_mm: float, y_mm: float) -> None:
    """The sketch with its origin at that place of the sheet."""
    pen: dict[str, object] = {"fill": "none", "stroke": INK, "stroke_linecap": "round", "stroke_linejoin": "round"}
    with canvas.group(class_="sketch", transform=place(x_mm, y_mm)):
        with canvas.group(stroke_width=WIRE_MM, **pen):
            for wire in sketch.wires:
                canvas.line(*map(_mm, wire), class_="wire")
            for link in sketch.links:
                canvas.line(_mm(link.start), _mm(link.end), dashes="1.2 1", class_="link")
            for mark in sketch.marks:
                canvas.path(_path_mm(MARKS[mark.net]), class_="mark", data_net=mark.net, transform=place(*_mm(mark.at)))
        for point in dots(sketch):
            canvas.circle(*_mm(point), DOT_MM, class_="dot")
        with canvas.group(stroke_width=BODY_MM, **pen):
            for glyph in sketch.glyphs:
                _draw_glyph(canvas, glyph)
        for text in sketch.texts:
            colour = SOFT if text.kind in ("net", "net below") else ""
            names: dict[str, Any] = {"data_value": of_refs((text.owner,), "value")} if text.kind == "value" else {}
            canvas.text(
                *_mm(text.at), text.words, TEXT_MM, text.anchor, face="mono", colour=colour, class_=text.kind, **names
            )


def _mm(point: Point) -> Point:
    return point[0] * STEP_MM, point[1] * STEP_MM


def _draw_glyph(canvas: Canvas, glyph: Glyph) -> None:
    symbol = SYMBOLS[glyph.symbol]
    turned = place(*_mm(glyph.at), 90 * glyph.turn) + (" scale(1 -1)" if glyph.flip else "")
    names = {"data_ref": glyph.ref, "data_symbol": glyph.symbol, "data_pins": "|".join(glyph.pins)}
    with canvas.group(class_="part", **names, transform=turned):
        canvas.path(_path_mm(symbol.leads), class_="lead", stroke_width=WIRE_MM)
        canvas.path(_path_mm(symbol.outline))
        if symbol.filled:
            canvas.path(_path_mm(symbol.filled), fill=INK, stroke="none")


@cache
def _path_mm(path: str) -> str:
    """A path in steps as one in millimetres. The flags of an arc are whole numbers between commands and stay."""

    def command(match: re.Match[str]) -> str:
        letter, numbers = match.group(1), [float(n) for n in match.group(2).split()]
        kept = (2, 3, 4) if letter == "A" else ()
        return letter + " ".join(number(n if index in kept else n * STEP_MM) for index, n in enumerate(numbers))

    return re.sub(r"([MLAZ])([^MLAZ]*)", command, path)


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
