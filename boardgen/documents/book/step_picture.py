"""The board as an outline drawing with the parts of one step filled in."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from html import escape

from boardgen.documents.page.svg import dot
from boardgen.documents.palette import INK, PAPER
from boardgen.model.copper import Board, PlacedPart, PointNm

MARK = "#E8B04A"
OUTLINE = "#9AA39F"
"""Darker than a hairline, so that it prints."""
EDGE_MM = 1.0
LARGEST_MM, SMALLEST_MM = 2.4, 1.1
LETTER = 0.62
"""Width of a monospaced letter over its height."""


def outlines(board: Board) -> str:
    """All bodies and the edge of the board as one path."""
    high = board.height_nm / 1e6
    boxes = [_box(*_rectangle(part, high)) for part in board.parts if part.fitted]
    return f"M0 0h{board.width_nm / 1e6:g}v{high:g}H0z{''.join(boxes)}"


def step_picture(board: Board, lines: str, refs: Collection[str], title: str, marks: Iterable[PointNm]) -> str:
    """`lines` are the outlines; the parts of `refs` are filled and named, and there is a dot at each of `marks`."""
    wide, high = board.width_nm / 1e6, board.height_nm / 1e6
    found = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{-EDGE_MM} {-EDGE_MM} {wide + 2 * EDGE_MM:g} '
        f'{high + 2 * EDGE_MM:g}" role="img"><title>{escape(title)}</title>',
        f'<path d="{lines}" fill="none" stroke="{OUTLINE}" stroke-width="0.2"/>',
    ]
    for part in board.parts:
        if part.ref in refs:
            x, y, w, h = _rectangle(part, high)
            found.append(f'<path d="{_box(x, y, w, h)}" fill="{INK}"/>{_name(part, x, y, w, h)}')
    found += [dot(x / 1e6, high - y / 1e6, 0.5, MARK) for x, y in marks]
    return "".join((*found, "</svg>"))


def _rectangle(part: PlacedPart, high: float) -> tuple[float, float, float, float]:
    left, low, right, top = (value / 1e6 for value in part.body)
    return left, high - top, right - left, top - low


def _box(x: float, y: float, w: float, h: float) -> str:
    return f"M{x:.2f} {y:.2f}h{w:.2f}v{h:.2f}h-{w:.2f}z"


def _name(part: PlacedPart, x: float, y: float, w: float, h: float) -> str:
    """The designator inside the body, turned where the body is upright."""
    long, short = max(w, h), min(w, h)
    size = max(SMALLEST_MM, min(LARGEST_MM, 0.92 * long / (LETTER * len(part.ref)), 0.8 * short))
    middle_x, middle_y = x + w / 2, y + h / 2
    turn = f' transform="rotate(-90 {middle_x:.2f} {middle_y:.2f})"' if h > w else ""
    return (
        f'<text x="{middle_x:.2f}" y="{middle_y + 0.36 * size:.2f}"{turn} text-anchor="middle" '
        f'font-family="monospace" font-size="{size:.2f}" fill="{PAPER}">{escape(part.ref)}</text>'
    )
