"""The drill template as DXF, for whoever cuts the lid by machine."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from boardgen.documents.canvas import TEXT_MM
from boardgen.documents.pictures.drill_template import BAR_MM, MEASURE, template_lines
from boardgen.formats.dxf import Circle, Line, Words, dxf
from boardgen.model.copper import Board

LAYERS = {"outline": 7, "screw holes": 1, "ports": 5, "words": 8}
CROSS_MM = 4.0
FOOT_MM = 8.0


def drill_dxf(board: Board, names: Mapping[str, str]) -> bytes:
    """Outline, screw holes with their diameters, middles of the ports, and a bar of 50 mm below; origin as the board's.

    `names` gives the words beside each port by its designator. Raises InputError where DXF cannot be made here.
    """
    return dxf(LAYERS, list(_shapes(board, names)))


def _shapes(board: Board, names: Mapping[str, str]) -> Iterator[Line | Circle | Words]:
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
    yield Line("words", ((0, -FOOT_MM), (BAR_MM, -FOOT_MM)))
    for x in (0, BAR_MM):
        yield Line("words", ((x, -FOOT_MM - 2), (x, -FOOT_MM + 2)))
    for number, text in enumerate((MEASURE, *template_lines(board))):
        yield Words("words", (0, -FOOT_MM - 7 - 5 * number), text, TEXT_MM)
