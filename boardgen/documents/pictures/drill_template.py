"""A sheet at 1:1 to drill a lid or box by: outline, screws, ports, and a bar to check the printer with."""

from __future__ import annotations

from html import escape

from boardgen.documents.palette import INK, PAPER, SOFT
from boardgen.model.copper import Board, PlacedPart

EDGE_MM, FOOT_MM, BAR_MM = 12.0, 27.0, 50
TEXT_MM = 3.0
MEASURE = f"{BAR_MM} mm: measure this bar before you drill"
LETTER_MM = 0.65 * TEXT_MM
"""Width of a letter, taken on the large side, since the reader's font is not known."""


def drill_template(board: Board, names: dict[str, str]) -> bytes:
    """The sheet as SVG. `names` gives the words beside each port by its designator."""
    wide, high = board.width_nm / 1e6, board.height_nm / 1e6
    lines = template_lines(board)
    total = max(wide, BAR_MM + 3 + LETTER_MM * len(MEASURE), *(LETTER_MM * len(line) for line in lines)) + 2 * EDGE_MM
    tall = high + 2 * EDGE_MM + FOOT_MM
    found = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{total:g}mm" height="{tall:g}mm" '
        f'viewBox="0 0 {total:g} {tall:g}" role="img"><title>{escape(board.title)}, drill template</title>',
        f'<rect width="{total:g}" height="{tall:g}" fill="{PAPER}"/>',
        f'<g transform="translate({EDGE_MM} {EDGE_MM})" stroke="{INK}" fill="none" stroke-width="0.2">',
        f'<rect width="{wide:g}" height="{high:g}"/>',
    ]
    found += [_cross(o.at[0] / 1e6, high - o.at[1] / 1e6, o.hole_nm / 1e6) for o in board.mounting_holes]
    for part in board.parts:
        if part.kind == "connector":
            x = (part.body[0] + part.body[2]) / 2e6
            y = high - (part.body[1] + part.body[3]) / 2e6
            found.append(f'<path d="M{x:.3f} {y - 4:.3f}v8M{x - 4:.3f} {y:.3f}h8" stroke="{SOFT}"/>')
            # upright words never meet those of the next port
            room = _room(board, part, high - y) - 6
            found.append(_words(x + 1, y + 6, _short(names.get(part.ref, part.ref), room), turned=True))
    found.append("</g>")
    y = high + 2 * EDGE_MM
    bar = f"M{EDGE_MM} {y:g}h{BAR_MM}m-{BAR_MM} -2v4m{BAR_MM} -4v4"
    found.append(f'<path d="{bar}" stroke="{INK}" stroke-width="0.25" fill="none"/>')
    found.append(_words(EDGE_MM + BAR_MM + 3, y + 1, MEASURE))
    found += [_words(EDGE_MM, y + 7 + 5 * n, line) for n, line in enumerate(lines)]
    found.append("</svg>\n")
    return "\n".join(found).encode()


def _room(board: Board, part: PlacedPart, below_mm: float) -> float:
    """Millimetres from a port down to the next one under it, else to the edge of the board."""
    under = [
        (part.body[1] - other.body[3]) / 1e6
        for other in board.parts
        if other.kind == "connector" and other.ref != part.ref and other.body[3] <= part.body[1]
        and abs(other.body[0] + other.body[2] - part.body[0] - part.body[2]) / 2e6 < TEXT_MM + 3
    ]  # fmt: skip
    return min(under, default=below_mm)


def _short(label: str, room_mm: float) -> str:
    """As much of a label as fits; the list of ports has it whole."""
    most = max(4, int(room_mm / LETTER_MM))
    return label if len(label) <= most else f"{label[: most - 1]}…"


def template_lines(board: Board) -> list[str]:
    """What stands under the bar."""
    wide, high = board.width_nm / 1e6, board.height_nm / 1e6
    first, last = board.mounting_holes[0].at, board.mounting_holes[-1].at
    across, up = abs(last[0] - first[0]) / 1e6, abs(last[1] - first[1]) / 1e6
    return [
        f"board {wide:.2f} x {high:.2f} mm",
        f"screws {across:.2f} x {up:.2f} mm apart, holes {board.mounting_holes[0].hole_nm / 1e6:.1f} mm",
        f"{board.title}, revision {board.revision}; seen from the component side",
    ]


def _cross(x: float, y: float, size: float) -> str:
    arm = size / 2 + 2
    lines = f"M{x - arm:.3f} {y:.3f}h{2 * arm:g}M{x:.3f} {y - arm:.3f}v{2 * arm:g}"
    return f'<circle cx="{x:.3f}" cy="{y:.3f}" r="{size / 2:g}"/><path d="{lines}"/>'


def _words(x: float, y: float, words: str, *, turned: bool = False) -> str:
    turn = f' transform="rotate(90 {x:.2f} {y:.2f})"' if turned else ""
    return (
        f'<text x="{x:.2f}" y="{y:.2f}"{turn} font-family="sans-serif" font-size="{TEXT_MM:g}" fill="{INK}" '
        f'stroke="none">{escape(words)}</text>'
    )
