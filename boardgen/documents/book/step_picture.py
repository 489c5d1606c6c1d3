"""The board as outlines with the parts of one step filled in and named in letters that are read at arm's length.

A piece as wide as a page lets letters be large is drawn by itself, and of its height what holds parts of the step; a
small board beside it says where on the whole that is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import ceil

from boardgen.documents.book.steps import Stand
from boardgen.documents.canvas import INK, PAPER, SOFT, Canvas, Point, through
from boardgen.documents.letters import text_width_mm
from boardgen.model.copper import Board, PlacedPart, PointNm

MARK, FILLED = "#E8B04A", "#F3E3BF"
OUTLINE = "#7D8783"
EDGE_MM = 1.0
PAPER_MM = 170.0
"""Width of the picture in print."""
WIDEST_MM = 150.0
"""A board that is wider is drawn in pieces."""
WHOLE_TIMES, PIECE_TIMES = 2.0, 1.3
"""A picture is drawn no larger than so many times: of a whole board, and of pieces, which take twice the sheets."""
LETTER_MM = 2.8
"""Of designators in print: their capitals are 2 mm high."""
AROUND_MM, BETWEEN_MM = 3.5, 3.0
WHOLE = 0.7
"""A piece higher than this share of the board is drawn with all of the board."""
SMALL_MM = 18.0
"""Width of the small board at most."""

Box = tuple[float, float, float, float]
"""Left, top, right, bottom."""


def step_pictures(board: Board, stands: Sequence[Stand], title: str) -> list[str]:
    """The parts of a step, piece by piece from left to right.

    A body is filled and named; the hole that says which way round has a dot, and a bent lead is a line to its hole.
    """
    wide, high = board.width_nm / 1e6, board.height_nm / 1e6
    top, bottom = _band([_box(stand.placed, high) for stand in stands], high)
    pieces = _pieces(wide)
    found = []
    for n in range(pieces):
        left, right = wide * n / pieces, wide * (n + 1) / pieces
        here = [stand for stand in stands if left <= stand.middle[0] / 1e6 <= right]
        if here:
            found.append(_piece(board, here, (left, top, right, bottom), title))
    return found


def _band(boxes: Iterable[Box], high: float) -> tuple[float, float]:
    """From where to where down the board the picture reaches."""
    tops, bottoms = zip(*((box[1], box[3]) for box in boxes), strict=True)
    top, bottom = max(0.0, min(tops) - AROUND_MM), min(high, max(bottoms) + AROUND_MM)
    return (0.0, high) if bottom - top > WHOLE * high else (top, bottom)


def _piece(board: Board, stands: Sequence[Stand], window: Box, title: str) -> str:
    wide, high = board.width_nm / 1e6, board.height_nm / 1e6
    left, top, right, bottom = window
    whole = (left, top, right, bottom) == (0.0, 0.0, wide, high)
    small = min(SMALL_MM, (bottom - top) * wide / high)
    across = right - left + 2 * EDGE_MM + (0.0 if whole else small + BETWEEN_MM)
    letter = LETTER_MM * across / print_width_mm(board)
    canvas = Canvas()
    outlined(canvas, board, window)
    for stand in stands:
        _filled(canvas, stand, high)
    named: list[Box] = []
    for stand in stands:
        named.append(_named(canvas, stand, high, letter, named, window))
    drawing = Canvas()
    inner = canvas.sheet(
        right - left + 2 * EDGE_MM, bottom - top + 2 * EDGE_MM, title, corner=(left - EDGE_MM, top - EDGE_MM), paper="",
        width=right - left + 2 * EDGE_MM, height=bottom - top + 2 * EDGE_MM,
    )  # fmt: skip
    drawing.write(inner)
    if not whole:
        _where(drawing, (right - left + 2 * EDGE_MM + BETWEEN_MM, EDGE_MM), small / wide, (wide, high), window)
    return drawing.svg(across, bottom - top + 2 * EDGE_MM, title, sized=False, paper="")


def outlined(canvas: Canvas, board: Board, window: Box) -> None:
    """What of bodies and of the edge lies in the window, each cut at it."""
    left, top, right, bottom = window
    wide, high = board.width_nm / 1e6, board.height_nm / 1e6
    boxes = [_box(part, high) for part in board.parts if part.fitted]
    cut = [
        (max(a, left), max(b, top), min(c, right), min(d, bottom))
        for a, b, c, d in boxes
        if _meet((a, b, c, d), window)
    ]
    edges = (
        (left == 0, ((left, top), (left, bottom))), (right == wide, ((right, top), (right, bottom))),
        (top == 0, ((left, top), (right, top))), (bottom == high, ((left, bottom), (right, bottom))),
    )  # fmt: skip
    drawn = [_path(box) for box in cut] + [through(edge) for is_edge, edge in edges if is_edge]
    canvas.path("".join(drawn), 0.15, OUTLINE)


def print_width_mm(board: Board) -> float:
    """How wide a picture of a step stands in print, the small board beside it."""
    wide = board.width_nm / 1e6
    times = WHOLE_TIMES if _pieces(wide) == 1 else PIECE_TIMES
    return min(PAPER_MM, times * (wide / _pieces(wide) + SMALL_MM + BETWEEN_MM))


def _pieces(wide: float) -> int:
    """Into how many pieces a board of so many millimetres is cut."""
    return ceil(wide / WIDEST_MM)


def _where(canvas: Canvas, at: Point, scale: float, size: Point, window: Box) -> None:
    """The whole board, small, with the piece filled."""
    x, y = at
    left, top, right, bottom = (value * scale for value in window)
    canvas.rect(x + left, y + top, right - left, bottom - top, fill=FILLED)
    canvas.rect(x, y, size[0] * scale, size[1] * scale, 0.2, SOFT)


def _box(part: PlacedPart, high: float) -> Box:
    left, low, right, top = (value / 1e6 for value in part.body)
    return left, high - top, right, high - low


def _path(box: Box) -> str:
    left, top, right, bottom = box
    return f"M{left:.2f} {top:.2f}H{right:.2f}V{bottom:.2f}H{left:.2f}z"


def _filled(canvas: Canvas, stand: Stand, high: float) -> None:
    left, top, right, bottom = _box(stand.placed, high)

    def at(point: PointNm) -> Point:
        return point[0] / 1e6, high - point[1] / 1e6

    canvas.rect(left, top, right - left, bottom - top, 0.25, fill=FILLED)
    if stand.bent is not None:
        canvas.line(at(stand.middle), at(stand.bent), width=0.3)
        canvas.circle(*at(stand.bent), 0.5, 0.25, fill=PAPER)
    if stand.marked is not None:
        canvas.circle(*at(stand.marked), 0.55, 0.3, fill=INK)


def _named(canvas: Canvas, stand: Stand, high: float, letter: float, taken: Sequence[Box], window: Box) -> Box:
    """Writes the designator where it covers no other one nor a dot: in the body, or beside it with a line to it."""
    body = _box(stand.placed, high)
    middle = ((body[0] + body[2]) / 2, (body[1] + body[3]) / 2)
    wide, tall = 1.25 * text_width_mm(stand.ref, letter, "mono"), 1.3 * letter
    dots = [
        (p[0] / 1e6 - 0.6, high - p[1] / 1e6 - 0.6, p[0] / 1e6 + 0.6, high - p[1] / 1e6 + 0.6)
        for p in (stand.marked, stand.bent)
        if p is not None
    ]
    if stand.bent is not None:
        x, y = stand.bent[0] / 1e6, high - stand.bent[1] / 1e6
        # no designator is struck through by the lead
        dots.append(
            (min(x, middle[0]) - 0.2, min(y, middle[1]) - 0.2, max(x, middle[0]) + 0.2, max(y, middle[1]) + 0.2)
        )
    left, top, right, bottom = window
    boxes = [(x - wide / 2, y - tall / 2, x + wide / 2, y + tall / 2) for x, y in _places(body, wide, tall)]
    inside = [
        b for b in boxes if b[0] >= left - 0.5 and b[1] >= top - 0.5 and b[2] <= right + 0.5 and b[3] <= bottom + 0.5
    ]
    free = next((b for b in inside if not any(_meet(b, other) for other in (*taken, *dots))), inside[0])
    x, y = (free[0] + free[2]) / 2, (free[1] + free[3]) / 2
    if not _meet(free, (body[0] - 1, body[1] - 1, body[2] + 1, body[3] + 1)):
        canvas.line(middle, (x, y), width=0.15, colour=SOFT)
    if not (body[0] <= free[0] and free[2] <= body[2]):
        canvas.rect(free[0], y - 0.46 * letter, wide, 0.92 * letter, fill=PAPER)
    canvas.text(x, y + 0.36 * letter, stand.ref, letter, "middle", face="mono", colour=INK)
    return free


def _places(body: Box, wide: float, tall: float) -> Iterator[Point]:
    """Middles of places for a word, the best first: in the body, around it, and farther around it."""
    left, top, right, bottom = body
    x, y = (left + right) / 2, (top + bottom) / 2
    if wide < right - left and tall < bottom - top:
        yield x, y
    for ring in range(4):
        over, beside = (bottom - top + tall) / 2 + 0.4 + ring * tall, (right - left + wide) / 2 + 0.4 + ring * wide
        for across, up in ((0, -1), (0, 1), (1, 0), (-1, 0), (1, -1), (-1, -1), (1, 1), (-1, 1)):
            yield x + across * beside, y + up * over
    yield x, y


def _meet(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]
