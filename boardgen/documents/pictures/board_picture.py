"""Draws the board as it would lie on the bench: bare, with its parts, and turned over."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from html import escape

from boardgen.documents.palette import INK, PAPER
from boardgen.kinds import KIND
from boardgen.model.copper import Board, PlacedPart, PointNm, Side, Stroke

MASK, COVERED, TINNED, LEGEND, HOLE = "#33504A", "#47655D", "#C9CCC8", "#F4F1E8", INK
BUILT = "board-built.svg"
EDGE_MM, CAPTION_MM = 6.0, 5.0
LONG = 2.0
"""So many times as wide as high, two pictures side by side would be too small on any screen or sheet."""
LETTER_MM = 1.8
"""Width of a letter of a caption, taken on the large side, since the reader's font is not known."""


def board_pictures(board: Board) -> dict[str, bytes]:
    """The pictures of the board by file name; BUILT is for the book alone."""
    bare = "".join(_face(board, "top"))
    built = bare + "".join(_bodies(board))
    return {
        "board-top.svg": _top(board, bare, built),
        BUILT: _built(board, built),
        "board-bottom.svg": _bottom(board),
    }


def _top(board: Board, bare: str, built: str) -> bytes:
    """The top twice, bare and as built: side by side, or one above the other where the board is long."""
    wide, high = board.width_nm / 1e6, board.height_nm / 1e6
    long = wide > LONG * high
    right, down = (0.0, high + EDGE_MM + CAPTION_MM) if long else (wide + EDGE_MM, 0.0)
    return _page(
        wide + right + 2 * EDGE_MM, high + down, f"{board.title}, top of the board",
        [
            _caption(EDGE_MM, high, "top, bare"),
            f'<g transform="translate({EDGE_MM} {EDGE_MM})">{bare}</g>',
            _caption(right + EDGE_MM, high + down, "top, with its parts"),
            f'<g transform="translate({right + EDGE_MM:g} {down + EDGE_MM:g})">{built}</g>',
        ],
    )  # fmt: skip


def _built(board: Board, built: str) -> bytes:
    """The top once, with its parts."""
    wide, high = board.width_nm / 1e6, board.height_nm / 1e6
    body = f'<g transform="translate({EDGE_MM} {EDGE_MM})">{built}</g>'
    caption = _caption(EDGE_MM, high, "top, with its parts")
    return _page(wide + 2 * EDGE_MM, high, f"{board.title}, top with its parts", [caption, body])


def _bottom(board: Board) -> bytes:
    """The bottom as seen when the board is turned over about its upright axis."""
    wide, high = board.width_nm / 1e6, board.height_nm / 1e6
    turned = f'<g transform="translate({wide + EDGE_MM:g} {EDGE_MM}) scale(-1 1)">{"".join(_face(board, "bottom"))}</g>'
    words = "bottom, seen with the board turned over left to right"
    caption = _caption(EDGE_MM, high, words)
    return _page(
        max(wide, LETTER_MM * len(words)) + 2 * EDGE_MM, high, f"{board.title}, bottom of the board", [caption, turned]
    )


def _page(wide: float, high: float, title: str, parts: Iterable[str]) -> bytes:
    tall = high + 2 * EDGE_MM + CAPTION_MM
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:g}mm" height="{tall:g}mm" '
        f'viewBox="0 0 {wide:g} {tall:g}" role="img"><title>{escape(title)}</title>'
        f'<rect width="{wide:g}" height="{tall:g}" fill="{PAPER}"/>'
    )
    return "\n".join([head, *parts, "</svg>", ""]).encode()


def _caption(x: float, high: float, words: str) -> str:
    y = high + EDGE_MM + 5
    return f'<text x="{x:g}" y="{y:g}" font-family="sans-serif" font-size="3" fill="{INK}">{escape(words)}</text>'


def _face(board: Board, side: Side) -> list[str]:
    wide, high = board.width_nm / 1e6, board.height_nm / 1e6
    found = [f'<rect width="{wide:g}" height="{high:g}" rx="0.6" fill="{MASK}"/>']
    for region in (r for r in board.regions if r.side == side):
        rings = " ".join(_ring(board, ring) for ring in (region.outline, *region.clear))
        found.append(f'<path d="{rings}" fill="{COVERED}" fill-rule="evenodd"/>')
    by_width: dict[int, list[str]] = {}
    for track in (t for t in board.tracks if t.side == side):
        by_width.setdefault(track.width_nm, []).append("M" + _way(board, (track.start, track.end)))
    for width, lines in sorted(by_width.items()):
        pen = f'stroke="{COVERED}" stroke-width="{width / 1e6:g}" stroke-linecap="round" fill="none"'
        found.append(f'<path d="{"".join(lines)}" {pen}/>')
    found += [
        _disc(board, via.at, via.pad_nm, COVERED) + _disc(board, via.at, via.hole_nm * 6 // 10, MASK)
        for via in board.vias
    ]
    if side == "top":
        found.append(
            _strokes(board, (*board.silkscreen_lines, *(s for t in board.silkscreen_texts for s in t.strokes)))
        )
    for pad in board.pads:
        if side not in pad.sides:
            continue
        if pad.is_round:
            found.append(_disc(board, pad.at, pad.width_nm, TINNED))
        else:
            left, top = (pad.at[0] - pad.width_nm / 2) / 1e6, high - (pad.at[1] + pad.height_nm / 2) / 1e6
            size = f'width="{pad.width_nm / 1e6:g}" height="{pad.height_nm / 1e6:g}"'
            found.append(f'<rect x="{left:g}" y="{top:g}" {size} fill="{TINNED}"/>')
        if pad.hole_nm:
            found.append(_disc(board, pad.at, pad.hole_nm, HOLE))
    found += [_disc(board, hole.at, hole.hole_nm, PAPER) for hole in board.mounting_holes]
    return found


def _bodies(board: Board) -> list[str]:
    return [_body(board, part) for part in sorted(board.parts, key=lambda p: p.height_nm or 0) if part.fitted]


def _body(board: Board, part: PlacedPart) -> str:
    left, low, right, top = (value / 1e6 for value in part.body)
    high = board.height_nm / 1e6
    looks = KIND[part.kind].appearance
    if not looks.colour:
        return ""
    ink = LEGEND if looks.dark else INK
    middle, y = (left + right) / 2, high - (low + top) / 2
    round_corner = min(right - left, top - low) / 2 if looks.is_round else 0.4
    upright = f' transform="rotate(-90 {middle:.2f} {y:.2f})"' if top - low > right - left else ""
    return (
        f'<rect x="{left:g}" y="{high - top:g}" width="{right - left:g}" height="{top - low:g}" rx="{round_corner:g}" '
        f'fill="{looks.colour}" stroke="{INK}" stroke-opacity="0.35" stroke-width="0.15"/>'
        f'<text x="{middle:g}" y="{y + 0.6:g}" font-family="monospace" font-size="1.7" text-anchor="middle" '
        f'fill="{ink}"{upright}>'
        f"{escape(part.ref)}</text>"
    )


def _strokes(board: Board, strokes: Iterable[Stroke]) -> str:
    paths = ["M" + _way(board, stroke.points) for stroke in strokes]
    widths = {stroke.width_nm for stroke in strokes}
    width = min(widths, default=150_000) / 1e6
    return (
        f'<path d="{"".join(paths)}" stroke="{LEGEND}" stroke-width="{width:g}" stroke-linecap="round" '
        'stroke-linejoin="round" fill="none"/>'
    )


def _disc(board: Board, at: PointNm, size_nm: int, colour: str) -> str:
    x, y = _short_mm(at[0]), _short_mm(board.height_nm - at[1])
    return f'<circle cx="{x}" cy="{y}" r="{_short_mm(size_nm / 2)}" fill="{colour}"/>'


def _ring(board: Board, ring: tuple[PointNm, ...]) -> str:
    return f"M{_way(board, ring)}Z"


def _way(board: Board, points: Iterable[PointNm]) -> str:
    """Through the points."""
    high = board.height_nm
    return "L".join([f"{_mm(x)} {_mm(high - y)}" for x, y in points])


@lru_cache(maxsize=4096)
def _short_mm(size_nm: float) -> str:
    return f"{size_nm / 1e6:g}"


@lru_cache(maxsize=4096)
def _mm(size_nm: int) -> str:
    return f"{size_nm / 1e6:.3f}"
