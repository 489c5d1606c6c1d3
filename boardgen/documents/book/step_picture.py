"""The board as an outline drawing with the parts of one step filled in."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from boardgen.documents.canvas import INK, PAPER, Canvas
from boardgen.documents.letters import text_width_mm
from boardgen.model.copper import Board, PlacedPart, PointNm

MARK = "#E8B04A"
OUTLINE = "#9AA39F"
"""Darker than a hairline, so that it prints."""
EDGE_MM = 1.0
LARGEST_MM, SMALLEST_MM = 2.4, 1.1


def outlines(board: Board) -> Canvas:
    """All bodies and the edge of the board as one path."""
    high = board.height_nm / 1e6
    boxes = [_box(*_rectangle(part, high)) for part in board.parts if part.fitted]
    canvas = Canvas()
    canvas.path("".join((_box(0, 0, board.width_nm / 1e6, high), *boxes)), 0.2, OUTLINE)
    return canvas


def step_picture(board: Board, lines: Canvas, refs: Collection[str], title: str, marks: Iterable[PointNm]) -> str:
    """`lines` are the outlines; the parts of `refs` are filled and named, and there is a dot at each of `marks`."""
    wide, high = board.width_nm / 1e6, board.height_nm / 1e6
    canvas = Canvas()
    canvas.write(str(lines))
    for part in board.parts:
        if part.ref in refs:
            filled(canvas, part, high)
    for x, y in marks:
        canvas.circle(x / 1e6, high - y / 1e6, 0.5, 0.4, fill=MARK)
    size = (wide + 2 * EDGE_MM, high + 2 * EDGE_MM)
    return canvas.svg(*size, title, corner=(-EDGE_MM, -EDGE_MM), sized=False, paper="")


def _rectangle(part: PlacedPart, high: float) -> tuple[float, float, float, float]:
    left, low, right, top = (value / 1e6 for value in part.body)
    return left, high - top, right - left, top - low


def _box(x: float, y: float, w: float, h: float) -> str:
    return f"M{x:.2f} {y:.2f}h{w:.2f}v{h:.2f}h-{w:.2f}z"


def filled(canvas: Canvas, part: PlacedPart, board_high: float) -> None:
    """A body with its designator inside, turned where the body is upright."""
    ref, (x, y, w, h) = part.ref, _rectangle(part, board_high)
    canvas.rect(x, y, w, h, fill=INK)
    long, short = max(w, h), min(w, h)
    size = max(SMALLEST_MM, min(LARGEST_MM, 0.92 * long / text_width_mm(ref, 1.0, "mono"), 0.8 * short))
    middle_x, middle_y, drop = x + w / 2, y + h / 2, 0.36 * size
    at = (middle_x + drop, middle_y) if h > w else (middle_x, middle_y + drop)
    canvas.text(*at, ref, size, "middle", face="mono", colour=PAPER, turn=-90 if h > w else 0)
