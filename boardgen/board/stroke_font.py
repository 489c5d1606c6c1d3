"""Plain letters in strokes: A. V. Hershey's simplex roman, in ASCII, and texts written in them, in nanometres."""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from pathlib import Path

import msgspec

from boardgen.model.copper import SilkscreenText, Stroke

CAP, BASE, SPACE, GAP = -12, 9, 10, 6
"""Upper and lower line of a capital in the font's own units, the width of a space, and the room between letters."""
PLAIN = {
    "ß": "ss", "æ": "ae", "Æ": "AE", "ø": "o", "Ø": "O", "œ": "oe", "Œ": "OE", "ł": "l", "Ł": "L", "đ": "d", "Đ": "D",
    "ð": "d", "þ": "th", "ı": "i",
    "\u00b5": "u", "\u03bc": "u", "\u03a9": "ohm", "\u2126": "ohm", "–": "-", "—": "-", "×": "x", "±": "+-",
    "’": "'", "‘": "'", "“": '"', "”": '"', "°": "deg",
}  # fmt: skip
"""How letters are written that the font does not have; accents are dropped, and the rest becomes a question mark."""
FONT = Path(__file__).with_name("letters.json")
"""The font, with its source and unit."""
LetterPoint = tuple[float, float]
"""A place in a letter, in heights of a capital."""
Strokes = list[list[tuple[int, int]]]


class _Font(msgspec.Struct):
    source: str
    unit: str
    strokes: dict[str, Strokes]


def ascii_text(text: str) -> str:
    """The text in letters that the font has, without those that have none like them in it; "" where none is left."""
    found = []
    for letter in text:
        if letter.isascii() and letter.isprintable():
            found.append(letter)
        elif letter in PLAIN:
            found.append(PLAIN[letter])
        else:
            found += [c for c in unicodedata.normalize("NFKD", letter) if c.isascii() and c.isprintable()]
    return " ".join("".join(found).split())


@lru_cache(maxsize=256)
def _letter(letter: str) -> tuple[float, tuple[tuple[LetterPoint, ...], ...]]:
    """Width of a letter and its strokes from its left edge, y upwards from the base line, in units of a capital."""
    unit = BASE - CAP
    if letter == " ":
        return SPACE / unit, ()
    strokes = [tuple((x, BASE - y) for x, y in stroke) for stroke in _font()[letter]]
    xs = [x for stroke in strokes for x, _ in stroke] or [0]
    left = min(xs)
    return (max(xs) - left) / unit, tuple(tuple(((x - left) / unit, y / unit) for x, y in s) for s in strokes)


@lru_cache(maxsize=1)
def _font() -> dict[str, Strokes]:
    """Strokes by letter, in the font's own units."""
    return msgspec.json.decode(FONT.read_bytes(), type=_Font).strokes


@lru_cache(maxsize=4096)
def _written(words: str, cap_nm: int) -> tuple[int, int, tuple[tuple[tuple[int, int], ...], ...]]:
    """Width, depth below the base line, and strokes in nanometres."""
    at, deep = 0.0, 0.0
    strokes = []
    for letter in words:
        width, parts = _letter(letter)
        for part in parts:
            strokes.append(tuple((round((x + at) * cap_nm), round(y * cap_nm)) for x, y in part))
            deep = min(deep, *(y for _, y in part))
        at += width + GAP / (BASE - CAP)
    return round((at - GAP / (BASE - CAP)) * cap_nm), round(-deep * cap_nm), tuple(strokes)


def size(words: str, cap_nm: int, width_nm: int) -> tuple[int, int]:
    """Width and height of a written text, the pen included, from the height of a capital and the width of the pen."""
    wide, deep, _ = _written(words, cap_nm)
    return wide + width_nm, cap_nm + deep + width_nm


def write(
    words: str, left: int, bottom: int, cap_nm: int, width_nm: int, upright: bool = False, ref: str = ""
) -> SilkscreenText:
    """A text in strokes.

    Parameters
    ----------
    words : letters that the font has, see `ascii_text`
    left, bottom : lower left corner of the box that it fills
    cap_nm, width_nm : height of a capital, width of the pen
    upright : whether it reads from below upwards
    ref : the part that it is about

    """
    wide, deep, strokes = _written(words, cap_nm)
    half = width_nm // 2
    if upright:
        box = (left, bottom, left + cap_nm + deep + width_nm, bottom + wide + width_nm)
        x0, y0 = left + half + cap_nm, bottom + half
        placed = [tuple([(x0 - y, y0 + x) for x, y in s]) for s in strokes]
    else:
        box = (left, bottom, left + wide + width_nm, bottom + cap_nm + deep + width_nm)
        x0, y0 = left + half, bottom + half + deep
        placed = [tuple([(x0 + x, y0 + y) for x, y in s]) for s in strokes]
    return SilkscreenText(words, box, tuple([Stroke(points, width_nm) for points in placed]), upright, ref)
