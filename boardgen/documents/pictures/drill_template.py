"""A sheet at 1:1 to drill a lid or box by: outline, screws, ports, and a bar to check the printer with.

As a drawing for the printer, and as DXF for whoever cuts the lid by machine.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from boardgen.documents.canvas import INK, SOFT, TEXT_MM, Canvas, number
from boardgen.documents.letters import shortened, text_width_mm
from boardgen.formats.dxf import Circle, Line, Words, dxf
from boardgen.model.copper import Board, PlacedPart

EDGE_MM, FOOT_MM, BAR_MM = 12.0, 27.0, 50
MEASURE = f"{BAR_MM} mm: measure this bar before you drill"
DXF_LAYERS = {"outline": 7, "screw holes": 1, "ports": 5, "words": 8}
CROSS_MM = 4.0
BAR_BELOW_MM = 8.0
"""Where the bar stands in the DXF, under the board."""
SHORTEST_MM = 7.0
"""Room that a label has at least."""


def drill_template(board: Board, names: dict[str, str]) -> str:
    """The sheet as SVG. `names` gives the words beside each port by its designator."""
    wide, high = board.width_nm / 1e6, board.height_nm / 1e6
    lines = template_lines(board)
    canvas = Canvas()
    canvas.add(_drilled(board, names), EDGE_MM, EDGE_MM)
    y = high + 2 * EDGE_MM
    canvas.path(f"M{number(EDGE_MM)} {number(y)}h{BAR_MM}m-{BAR_MM} -2v4m{BAR_MM} -4v4", 0.25)
    canvas.text(EDGE_MM + BAR_MM + 3, y + 1, MEASURE, TEXT_MM)
    for n, line in enumerate(lines):
        canvas.text(EDGE_MM, y + 7 + 5 * n, line, TEXT_MM)
    widths = [BAR_MM + 3 + text_width_mm(MEASURE, TEXT_MM), *(text_width_mm(line, TEXT_MM) for line in lines)]
    return canvas.svg(max(wide, *widths) + 2 * EDGE_MM, y + FOOT_MM, f"{board.title}, drill template")


def _drilled(board: Board, names: dict[str, str]) -> Canvas:
    """Edge, screw holes, and the middle of each port with its name, from the upper left corner of the board."""
    canvas, high = Canvas(), board.height_nm / 1e6
    canvas.rect(0, 0, board.width_nm / 1e6, high, 0.2)
    for hole in board.mounting_holes:
        x, y, size = hole.at[0] / 1e6, high - hole.at[1] / 1e6, hole.hole_nm / 1e6
        canvas.circle(x, y, size / 2, 0.2)
        _cross(canvas, x, y, size / 2 + 2)
    for part in board.parts:
        if part.kind == "connector":
            x = (part.body[0] + part.body[2]) / 2e6
            y = high - (part.body[1] + part.body[3]) / 2e6
            _cross(canvas, x, y, 4, SOFT)
            # upright words never meet those of the next port; the list of ports has a label whole
            room = max(SHORTEST_MM, _room(board, part, high - y) - 6)
            canvas.text(x + 1, y + 6, shortened(names.get(part.ref, part.ref), room, TEXT_MM), TEXT_MM, turn=90)
    return canvas


def _cross(canvas: Canvas, x: float, y: float, arm: float, colour: str = INK) -> None:
    canvas.line((x - arm, y), (x + arm, y), width=0.2, colour=colour)
    canvas.line((x, y - arm), (x, y + arm), width=0.2, colour=colour)


def _room(board: Board, part: PlacedPart, below_mm: float) -> float:
    """Millimetres from a port down to the next one under it, else to the edge of the board."""
    under = [
        (part.body[1] - other.body[3]) / 1e6
        for other in board.parts
        if other.kind == "connector" and other.ref != part.ref and other.body[3] <= part.body[1]
        and abs(other.body[0] + other.body[2] - part.body[0] - part.body[2]) / 2e6 < TEXT_MM + 3
    ]  # fmt: skip
    return min(under, default=below_mm)


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


def drill_dxf(board: Board, names: Mapping[str, str]) -> bytes:
    """Outline, screw holes with their diameters, middles of the ports, and a bar of 50 mm below; origin as the board's.

    `names` gives the words beside each port by its designator. Raises InputError where DXF cannot be made here.
    """
    return dxf(DXF_LAYERS, list(_dxf_shapes(board, names)))


def _dxf_shapes(board: Board, names: Mapping[str, str]) -> Iterator[Line | Circle | Words]:
    wide, high = board.width_nm / 1e6, board.height_nm / 1e6
    yield Line("outline", ((0, 0), (wide, 0), (wide, high), (0, high), (0, 0)))
    for hole in board.mounting_holes:
        yield Circle("screw holes", (hole.at[0] / 1e6, hole.at[1] / 1e6), hole.hole_nm / 1e6)
    for part in board.parts:
        if part.kind == "connector":
            x, y = (part.body[0] + part.body[2]) / 2e6, (part.body[1] + part.body[3]) / 2e6
            yield Line("ports", ((x - CROSS_MM, y), (x + CROSS_MM, y)))
            yield Line("ports", ((x, y - CROSS_MM), (x, y + CROSS_MM)))
            yield Words("words", (x + TEXT_MM / 3, y - CROSS_MM - 2), names.get(part.ref, part.ref), TEXT_MM, -90)
    yield Line("words", ((0, -BAR_BELOW_MM), (BAR_MM, -BAR_BELOW_MM)))
    for x in (0, BAR_MM):
        yield Line("words", ((x, -BAR_BELOW_MM - 2), (x, -BAR_BELOW_MM + 2)))
    for row, text in enumerate((MEASURE, *template_lines(board))):
        yield Words("words", (0, -BAR_BELOW_MM - 7 - 5 * row), text, TEXT_MM)
