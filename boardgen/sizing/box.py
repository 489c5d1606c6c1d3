"""The box: the first on offer that holds the board and has room for all holes of its lower wall.

The board's ports lie next to the lower wall, which coax, stud, vent and cables go through. Its holes stand in one row
where all find room; else coax connectors have rows of their own above the rest; else all stand in as few rows as will
do, the longest of them as short as can be: limits are tried from the least, at a cost of the third power of the holes.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate, pairwise

from msgspec import Struct

from boardgen.model.part import Part
from boardgen.request import Request, candidates

WIDEST_GAP_MM = 25.0
"""Between a gland, a vent or a stud and its neighbour: a spanner of 24 mm turns there (assumed)."""
EDGE_MM = 18.0
"""From the outside of a wall to the nearest hole: wall, corner post and washer (assumed)."""
RIM_MM = 12.0
"""From the back or the lid to the nearest hole: wall and half a washer (assumed)."""
FIRST_ROW = 0.62
"""The height of the first row over the back, as a share of the depth (assumed)."""
SLACK_MM = 1e-6

Size = tuple[float, float]
"""Width and height of a board in metres."""
Row = Sequence[bool]
"""Of each hole from left to right, whether it is a coax connector's."""


class Wall(Struct, frozen=True):
    """The middle of each hole, in millimetres from the left and from the back, and whether all have room."""

    places_mm: tuple[tuple[float, float], ...]
    fits: bool


class Enclosure(Struct, frozen=True):
    """A box of the catalogue round a board: its outside with the ports down, whether it holds the board, its wall."""

    part: Part
    wide_mm: float
    high_mm: float
    deep_mm: float
    holds: bool
    wall: Wall


def enclosure(request: Request, size_m: Size) -> Enclosure:
    """The first box on offer that holds the board and all connectors, else the largest that holds the board."""
    found = [around(request, part, size_m) for part in candidates(request, "enclosure", "")]
    suit = [one for one in found if one.holds and one.wall.fits] or [one for one in reversed(found) if one.holds]
    return suit[0] if suit else found[-1]


def around(request: Request, part: Part, size_m: Size) -> Enclosure:
    """The enclosure round a board of such a size; its wider wall is the lower one where only that has room."""
    length, width, deep = (part.figures[name].value * 1e3 for name in ("length", "width", "height"))
    x, y = (part.figures[name].value for name in ("largest x", "largest y"))
    lying = [(length, width, x, y), (width, length, y, x)]
    if size_m[0] < size_m[1]:
        lying.reverse()
    found = []
    for wide, high, across, along in lying:
        holds = size_m[0] <= across and size_m[1] <= along
        found.append(Enclosure(part, wide, high, deep, holds, wall(holes(request), request.spec.box.pitch, wide, deep)))
    return next((one for one in found if one.holds and one.wall.fits), next((o for o in found if o.holds), found[0]))


def holes(request: Request) -> Row:
    """Ports that are fitted, then earth stud where there is one, vent and glands."""
    ports = sum(strip.fitted for strip in request.strips)
    others = request.has_earth + 1 + request.spec.control.cables
    return (True,) * ports + (False,) * others


def wall(row: Row, pitch_m: float, wide_mm: float, deep_mm: float) -> Wall:
    """The places of such holes in a wall of this outside size."""
    pitch_mm, room_mm = pitch_m * 1e3, wide_mm - 2 * EDGE_MM
    coax, others = [c for c in row if c], [c for c in row if not c]
    ways = ([row], [*_even(coax, pitch_mm, room_mm), others], _even(row, pitch_mm, room_mm))
    made = [_places(rows, pitch_mm, wide_mm, deep_mm) for rows in ways]
    return next((one for one in made if one.fits), made[-1])


def _even(row: Row, pitch_mm: float, room_mm: float) -> list[Row]:
    """As few rows as will do, none longer than it must be."""
    count = len(_full(row, pitch_mm, room_mm))
    spans = sorted({span for n in range(len(row)) for span in _offsets(row[n:], pitch_mm)})
    return next(rows for span in spans if len(rows := _full(row, pitch_mm, span)) <= count)


def _full(row: Row, pitch_mm: float, most_mm: float) -> list[Row]:
    """Each row as full as it can be, with one hole at least."""
    rows = []
    while row:
        count = max(1, sum(offset <= most_mm + SLACK_MM for offset in _offsets(row, pitch_mm)))
        rows.append(row[:count])
        row = row[count:]
    return rows


def _offsets(row: Row, pitch_mm: float) -> list[float]:
    """How far each hole of a row stands from the first."""
    gaps = (pitch_mm if all(pair) else max(pitch_mm, WIDEST_GAP_MM) for pair in pairwise(row))
    return list(accumulate(gaps, initial=0.0))


def _places(rows: Sequence[Row], pitch_mm: float, wide_mm: float, deep_mm: float) -> Wall:
    """Each row in the middle of the wall, the first nearest to the lid."""
    found = []
    for n, row in enumerate(rows):
        offsets = _offsets(row, pitch_mm)
        left, height = (wide_mm - offsets[-1]) / 2, FIRST_ROW * deep_mm - n * max(pitch_mm, WIDEST_GAP_MM)
        found += [(left + offset, height) for offset in offsets]
    least_x, least_y = EDGE_MM - SLACK_MM, RIM_MM - SLACK_MM
    fits = all(least_x <= x <= wide_mm - least_x and least_y <= y <= deep_mm - least_y for x, y in found)
    return Wall(tuple(found), fits)
