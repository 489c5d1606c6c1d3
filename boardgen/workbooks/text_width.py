"""How wide text is in a cell, in the unit of column widths: the width of a digit in body text.

Widths are those of a common sans serif face over its digits, rounded up; recalled, not measured.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Literal

Kind = Literal["text", "code", "number"]

_CODE_LETTER = 1.1
_WIDTHS = (
    ("ijl'|", 0.42),
    ("ft.,:;!/\\[]I ", 0.52),
    ('r()-`{}"', 0.64),
    ("ckszvxyJ", 0.92),
    ("ABEKPSVXYFTZ&", 1.22),
    ("CDGHNRUw", 1.32),
    ("OQ", 1.42),
    ("mM", 1.52),
    ("W%@", 1.85),
)
_OTHER_ASCII, _OTHER = 1.02, 1.5


class _Widths(dict[str, float]):
    def __missing__(self, letter: str) -> float:
        return _OTHER


_OF_LETTER = _Widths.fromkeys(map(chr, range(128)), _OTHER_ASCII)
_OF_LETTER.update((letter, width) for letters, width in _WIDTHS for letter in letters)


def width_of(text: str, kind: Kind = "text") -> float:
    """The width of one line of text; code is set in a face of one width."""
    if kind == "code":
        return _CODE_LETTER * len(text)
    return sum(map(_OF_LETTER.__getitem__, text))


def lines_of(text: str, room: float, kind: Kind = "text") -> int:
    """Into how many lines the text is broken in so much room."""
    return sum(_broken(line, room, kind) for line in text.splitlines()) or 1


def _broken(line: str, room: float, kind: Kind) -> int:
    if width_of(line, kind) <= room:
        return 1
    count, used = 1, 0.0
    for gap, width in _pieces(line, room, kind):
        if used and used + gap + width > room:
            count += 1
            used = width
        else:
            used += width + (gap if used else 0)
    return count


def _pieces(line: str, room: float, kind: Kind) -> Iterator[tuple[float, float]]:
    """What a line can be broken into: words, at their hyphens too; each with the gap before it."""
    space = width_of(" ", kind)
    for word in line.split():
        for number, piece in enumerate(re.findall("[^-]*-|[^-]+", word)):
            width = width_of(piece, kind)
            while width > room:
                yield 0, room
                width -= room
            yield (0 if number else space), width
