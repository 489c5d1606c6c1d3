"""Draws the board as it would lie on the bench: bare, with its parts, and turned over."""

from __future__ import annotations

from collections.abc import Iterable

from boardgen.documents.canvas import INK, PAPER, Canvas, through
from boardgen.documents.letters import text_width_mm
from boardgen.kinds import KIND
from boardgen.model.copper import Board, PlacedPart, PointNm, Side, Stroke

MASK, COVERED, TINNED, LEGEND, HOLE = "#33504A", "#47655D", "#C9CCC8", "#F4F1E8", INK
LIGHT, GREY = "#DCE1DD", "#9AA29D"
BUILT = "board-built.svg"
EDGE_MM, CAPTION_MM = 6.0, 5.0
TEXT_MM, REF_MM = 3.0, 1.7
LONG = 2.0
"""So many times as wide as high, two pictures side by side would be too small on any screen or sheet."""
ROUND = {"stroke_linecap": "round", "stroke_linejoin": "round"}
ON_PAPER = (
    f".board-mask,.board-body{{fill:#fff;stroke:{INK};stroke-width:.15}}.board-copper{{fill:{LIGHT}}}"
    f".board-track{{stroke:{LIGHT}}}.board-pad{{fill:#fff;stroke:{INK};stroke-width:.1}}.board-hole{{fill:{GREY}}}"
    f".board-via{{fill:#fff}}.board-legend{{stroke:{INK}}}.board-name{{fill:{INK}}}"
)
"""In print the board is drawn in lines: its dark mask would cover a quarter of the sheet with ink."""
PRINTED = f"<style>@media print{{{ON_PAPER}}}</style>"


def board_pictures(board: Board) -> dict[str, str]:
    """The pictures of the board by file name; BUILT is for the book alone."""
    bare, built = _face(board, "top"), Canvas()
    built.add(bare)
    for part in sorted(board.parts, key=lambda p: p.height_nm or 0):
        if part.fitted:
            _body(built, board, part)
    return {
        "board-top.svg": _top(board, bare, built),
        BUILT: _built(board, built),
        "board-bottom.svg": _bottom(board),
    }


def _top(board: Board, bare: Canvas, built: Canvas) -> str:
    """The top twice, bare and as built: side by side, or one above the other where the board is long."""
    wide, high = board.width_nm / 1e6, board.height_nm / 1e6
    long = wide > LONG * high
    right, down = (0.0, high + EDGE_MM + CAPTION_MM) if long else (wide + EDGE_MM, 0.0)
    canvas = Canvas()
    _captioned(canvas, bare, "top, bare", high)
    _captioned(canvas, built, "top, with its parts", high, right, down)
    return _page(canvas, wide + right + 2 * EDGE_MM, high + down, f"{board.title}, top of the board")


def _built(board: Board, built: Canvas) -> str:
    """The top once, with its parts."""
    wide, high = board.width_nm / 1e6, board.height_nm / 1e6
    canvas = Canvas()
    _captioned(canvas, built, "top, with its parts", high)
    return _page(canvas, wide + 2 * EDGE_MM, high, f"{board.title}, top with its parts")


def _bottom(board: Board) -> str:
    """The bottom as seen when the board is turned over about its upright axis."""
    wide, high = board.width_nm / 1e6, board.height_nm / 1e6
    canvas, turned = Canvas(), Canvas()
    turned.add(_face(board, "bottom"), wide, mirrored=True)
    words = "bottom, seen with the board turned over left to right"
    _captioned(canvas, turned, words, high)
    return _page(
        canvas, max(wide, text_width_mm(words, TEXT_MM)) + 2 * EDGE_MM, high, f"{board.title}, bottom of the board"
    )


def _captioned(canvas: Canvas, drawn: Canvas, words: str, high: float, right: float = 0.0, down: float = 0.0) -> None:
    canvas.add(drawn, right + EDGE_MM, down + EDGE_MM)
    canvas.text(right + EDGE_MM, down + high + EDGE_MM + CAPTION_MM, words, TEXT_MM)


def _page(canvas: Canvas, wide: float, high: float, title: str) -> str:
    page = Canvas()
    page.write(PRINTED)
    page.add(canvas)
    return page.svg(wide, high + 2 * EDGE_MM + CAPTION_MM, title)


def _face(board: Board, side: Side) -> Canvas:
    """One side of the bare board, from the upper left corner of the board."""
    wide, high = board.width_nm / 1e6, board.height_nm / 1e6
    canvas = Canvas()
    canvas.rect(0, 0, wide, high, fill=MASK, class_="board-mask")
    for region in (r for r in board.regions if r.side == side):
        rings = " ".join(f"{_way(board, ring)}Z" for ring in (region.outline, *region.clear))
        canvas.path(rings, fill=COVERED, fill_rule="evenodd", class_="board-copper")
    tracks = (Stroke((track.start, track.end), track.width_nm) for track in board.tracks if track.side == side)
    _lines(canvas, board, tracks, COVERED, "board-track")
    for via in board.vias:
        _disc(canvas, board, via.at, via.pad_nm, COVERED, "board-copper")
        _disc(canvas, board, via.at, via.hole_nm * 6 // 10, MASK, "board-via")
    if side == "top":
        strokes = (*board.silkscreen_lines, *(s for t in board.silkscreen_texts for s in t.strokes))
        _lines(canvas, board, strokes, LEGEND, "board-legend")
    for pad in (pad for pad in board.pads if side in pad.sides):
        if pad.is_round:
            _disc(canvas, board, pad.at, pad.width_nm, TINNED, "board-pad")
        else:
            pad_wide, pad_high = pad.width_nm / 1e6, pad.height_nm / 1e6
            left, top = pad.at[0] / 1e6 - pad_wide / 2, high - pad.at[1] / 1e6 - pad_high / 2
            canvas.rect(left, top, pad_wide, pad_high, fill=TINNED, class_="board-pad")
        if pad.hole_nm:
            _disc(canvas, board, pad.at, pad.hole_nm, HOLE, "board-hole")
    for hole in board.mounting_holes:
        _disc(canvas, board, hole.at, hole.hole_nm, PAPER, "board-pad")
    return canvas


def _lines(canvas: Canvas, board: Board, strokes: Iterable[Stroke], colour: str, kind: str) -> None:
    """Lines with round ends, those of one width together."""
    by_width: dict[int, list[str]] = {}
    for stroke in strokes:
        by_width.setdefault(stroke.width_nm, []).append(_way(board, stroke.points))
    for width, ways in sorted(by_width.items()):
        canvas.path("".join(ways), width / 1e6, colour, class_=kind, **ROUND)


def _body(canvas: Canvas, board: Board, part: PlacedPart) -> None:
    """The body of a part with its designator along its longer side."""
    looks = KIND[part.kind].appearance
    if not looks.colour:
        return
    left, low, right, top = (value / 1e6 for value in part.body)
    wide, tall, foot = right - left, top - low, board.height_nm / 1e6 - low
    corner = min(wide, tall) / 2 if looks.is_round else 0.4
    canvas.rect(
        left, foot - tall, wide, tall, 0.15, fill=looks.colour, rx=corner, stroke_opacity=0.35, class_="board-body"
    )
    x, y, turn = left + wide / 2, foot - tall / 2, -90.0 if tall > wide else 0.0
    x, y = (x + 0.35 * REF_MM, y) if turn else (x, y + 0.35 * REF_MM)
    ink = LEGEND if looks.dark else INK
    canvas.text(x, y, part.ref, REF_MM, "middle", face="mono", colour=ink, turn=turn, class_="board-name")


def _disc(canvas: Canvas, board: Board, at: PointNm, size_nm: int, colour: str, kind: str) -> None:
    canvas.circle(at[0] / 1e6, (board.height_nm - at[1]) / 1e6, size_nm / 2e6, fill=colour, class_=kind)


def _way(board: Board, points: Iterable[PointNm]) -> str:
    high = board.height_nm
    return through((x / 1e6, (high - y) / 1e6) for x, y in points)
