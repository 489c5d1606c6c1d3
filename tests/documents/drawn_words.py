"""Where the words and the strokes of a drawing lie, measured with the metrics of the faces that the drawing names."""

from __future__ import annotations

import itertools
import math
import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import matplotlib as mpl
from fontTools.ttLib import TTFont

SVG = "{http://www.w3.org/2000/svg}"
FACES = {"DejaVu Sans": "DejaVuSans.ttf", "DejaVu Sans Mono": "DejaVuSansMono.ttf"}
OTHER_EMS = 1.05
"""Advance of a letter that the face does not have, which a reader's other face lends: a full square and a little."""

Box = tuple[float, float, float, float]
Matrix = tuple[float, float, float, float, float, float]
Segment = tuple[float, float, float, float]


@dataclass(frozen=True)
class Words:
    text: str
    box: Box
    kind: str


@dataclass(frozen=True)
class Stroke:
    segments: tuple[Segment, ...]
    half: float
    what: str


@cache
def face(name: str):
    font = TTFont(Path(mpl.get_data_path()) / "fonts" / "ttf" / FACES[name])
    return font["head"].unitsPerEm, font.getBestCmap(), font["hmtx"], font["glyf"]


def measured(text: str, name: str, size: float) -> tuple[float, float, float]:
    """Advance, and ink above and below the baseline, in the unit of the size."""
    unit, cmap, advances, shapes = face(name)
    wide, top, bottom = 0.0, 0.0, 0.0
    for letter in text:
        glyph = cmap.get(ord(letter))
        if glyph is None:
            wide, top, bottom = wide + OTHER_EMS, max(top, 0.9), max(bottom, 0.2)
            continue
        wide += advances[glyph][0] / unit
        if shapes[glyph].numberOfContours:
            top, bottom = max(top, shapes[glyph].yMax / unit), max(bottom, -shapes[glyph].yMin / unit)
    return wide * size, top * size, bottom * size


def times(a: Matrix, b: Matrix) -> Matrix:
    return (
        a[0] * b[0] + a[2] * b[1], a[1] * b[0] + a[3] * b[1], a[0] * b[2] + a[2] * b[3], a[1] * b[2] + a[3] * b[3],
        a[0] * b[4] + a[2] * b[5] + a[4], a[1] * b[4] + a[3] * b[5] + a[5],
    )  # fmt: skip


def matrix(element: ET.Element) -> Matrix:
    found: Matrix = (1, 0, 0, 1, 0, 0)
    if element.tag == f"{SVG}svg":
        return (1, 0, 0, 1, float(element.get("x", 0)), float(element.get("y", 0)))
    for name, values in re.findall(r"(\w+)\(([^)]*)\)", element.get("transform", "")):
        numbers = [float(v) for v in values.replace(",", " ").split()]
        if name == "translate" and len(numbers) == 1:
            numbers.append(0.0)
        if name == "translate":
            found = times(found, (1, 0, 0, 1, numbers[0], numbers[1]))
        elif name == "scale":
            found = times(found, (numbers[0], 0, 0, numbers[-1], 0, 0))
        else:
            c, s = math.cos(math.radians(numbers[0])), math.sin(math.radians(numbers[0]))
            found = times(found, (c, s, -s, c, 0, 0))
    return found


def read(svg: str) -> tuple[list[Words], list[Stroke]]:
    words: list[Words] = []
    strokes: list[Stroke] = []
    root = ET.fromstring(svg)
    _walk(root, (1, 0, 0, 1, 0, 0), {"font-size": "0", "font-family": "", "stroke-width": "0"}, words, strokes)
    return words, strokes


def _walk(element, above: Matrix, inherited: dict[str, str], words, strokes) -> None:
    here = times(above, matrix(element))
    style = inherited | {k: v for k in inherited if (v := element.get(k)) is not None}
    if element.tag == f"{SVG}text":
        words.append(_words(element, here, style))
    elif element.tag in (f"{SVG}path", f"{SVG}circle", f"{SVG}rect"):
        paper = element.tag == f"{SVG}rect" and element.get("fill")
        if not paper:
            segments = [_moved(here, s) for s in _segments(element)]
            strokes.append(Stroke(tuple(segments), float(style["stroke-width"]) / 2, element.get("class") or "body"))
    for child in element:
        _walk(child, here, style, words, strokes)


def _words(element: ET.Element, here: Matrix, style: dict[str, str]) -> Words:
    size = float(style["font-size"])
    wide, top, bottom = measured(element.text, style["font-family"].split(",")[0], size)
    left = float(element.get("x")) - {"start": 0, "middle": wide / 2, "end": wide}[element.get("text-anchor", "start")]
    x, y = here[4] + left, here[5] + float(element.get("y"))
    return Words(element.text, (x, y - top, x + wide, y + bottom), element.get("class") or "")


def _moved(m: Matrix, s: Segment) -> Segment:
    def at(x: float, y: float) -> tuple[float, float]:
        return m[0] * x + m[2] * y + m[4], m[1] * x + m[3] * y + m[5]

    return (*at(s[0], s[1]), *at(s[2], s[3]))


def _segments(element: ET.Element) -> list[Segment]:
    if element.tag == f"{SVG}circle":
        x, y, r = (float(element.get(k)) for k in ("cx", "cy", "r"))
        points = [(x + r * math.cos(a), y + r * math.sin(a)) for a in (n * math.pi / 8 for n in range(17))]
        return [(*p, *q) for p, q in itertools.pairwise(points)]
    if element.tag == f"{SVG}rect":
        x, y, w, h = (float(element.get(k, 0)) for k in ("x", "y", "width", "height"))
        corners = [(x, y), (x + w, y), (x + w, y + h), (x, y + h), (x, y)]
        return [(*p, *q) for p, q in itertools.pairwise(corners)]
    return _path(element.get("d"))


def _path(path: str) -> list[Segment]:
    """Lines, and each arc as short lines; of a path of squares (lower case) only the diagonals of the whole."""
    if "h" in path:
        corners = [(float(x), float(y)) for x, y in re.findall(r"M([0-9]+) ([0-9]+)", path)]
        low, high = min(map(min, corners)), max(map(max, corners)) + 1
        return [(low, low, high, high), (low, high, high, low)]
    found: list[Segment] = []
    start = last = (0.0, 0.0)
    for letter, values in re.findall(r"([MLHVAZ])([^MLHVAZ]*)", path):
        numbers = [float(v) for v in re.findall(r"-?[0-9.]+", values)]
        if letter == "M":
            start = last = (numbers[0], numbers[1])
            continue
        if letter == "Z":
            point = start
        elif letter == "H":
            point = (numbers[0], last[1])
        elif letter == "V":
            point = (last[0], numbers[0])
        else:
            point = (numbers[-2], numbers[-1])
        if letter == "A":
            found += _arc(last, point, numbers[0], numbers[4])
        else:
            found.append((*last, *point))
        last = point
    return found


def _arc(a, b, radius: float, sweep: float) -> list[Segment]:
    """Half circles only: that is what symbols are made of."""
    middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    assert abs(math.dist(a, b) / 2 - radius) < 0.03
    first = math.atan2(a[1] - middle[1], a[0] - middle[0])
    turn = math.pi if sweep else -math.pi
    points = [
        (middle[0] + radius * math.cos(first + turn * n / 8), middle[1] + radius * math.sin(first + turn * n / 8))
        for n in range(9)
    ]
    return [(*p, *q) for p, q in itertools.pairwise(points)]


def clashes(svg: str) -> list[str]:
    """Words on words, words on strokes, and words outside the page."""
    words, strokes = read(svg)
    found = [f"{a.text!r} on {b.text!r}" for a, b in itertools.combinations(words, 2) if _meet(a.box, b.box)]
    for stroke in strokes:
        about = _about(stroke)
        found += [
            f"{word.text!r} on a {stroke.what}"
            for word in words
            if _meet(about, word.box) and any(_cuts(segment, word.box, stroke.half) for segment in stroke.segments)
        ]
    root = ET.fromstring(svg)
    wide, high = (float(v) for v in root.get("viewBox").split()[2:])
    inside = (3.0, 3.0, wide - 3.0, high - 3.0)
    found += [f"{w.text!r} leaves the page" for w in words if not _within(w.box, inside)]
    return found


def _about(stroke: Stroke) -> Box:
    xs = [x for s in stroke.segments for x in (s[0], s[2])]
    ys = [y for s in stroke.segments for y in (s[1], s[3])]
    edge = stroke.half + 0.01
    return min(xs) - edge, min(ys) - edge, max(xs) + edge, max(ys) + edge


def _within(box: Box, other: Box) -> bool:
    return box[0] >= other[0] and box[1] >= other[1] and box[2] <= other[2] and box[3] <= other[3]


def _meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _cuts(segment: Segment, box: Box, half: float) -> bool:
    """Whether a segment with its thickness enters the box, by clipping it to the box."""
    left, top, right, bottom = box[0] - half, box[1] - half, box[2] + half, box[3] + half
    x, y, x2, y2 = segment
    low, high = 0.0, 1.0
    for d, near, far in ((x2 - x, left - x, right - x), (y2 - y, top - y, bottom - y)):
        if abs(d) < 1e-9:
            if near > 0 or far < 0:
                return False
            continue
        a, b = sorted((near / d, far / d))
        low, high = max(low, a), min(high, b)
    return low < high
