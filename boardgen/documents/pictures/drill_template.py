"""The walls of the box that are drilled, at 1:1, each hole at its size, and a bar to check the printer with.

As a drawing for the printer, and as DXF for whoever cuts the box by machine.
"""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.documents.box import COAX, Box, Hole, View, hole_name
from boardgen.documents.canvas import HAIR, INK, SOFT, TEXT_MM, Canvas, number
from boardgen.documents.letters import Face, shortened, text_width_mm
from boardgen.formats.dxf import Circle, Line, Words, dxf

EDGE_MM, HEAD_MM, BETWEEN_MM, FOOT_MM, BAR_MM = 8.0, 10.0, 6.0, 16.0, 50
MEASURE = f"{BAR_MM} mm: measure this bar before you drill; holes are in mm"
DXF_LAYERS = {"walls": 8, "board": 7, "holes": 1, "words": 5}
CROSS_MM = 2.5
"""A cross reaches so far beyond its hole."""
INSIDE_MM = 10.0
"""What an outline is stands so far above its lower edge, clear of the screws along it."""
PAPERS = (("A4", 190.0, 277.0), ("A3", 277.0, 400.0), ("A2", 400.0, 574.0))
"""Width and height that printers leave, upright."""


def drill_template(box: Box, title: str) -> str:
    """The sheet as SVG; `title` names board and revision."""
    wide = max(view.wide_mm for view in box.views)
    canvas, y = Canvas(), EDGE_MM
    for view in box.views:
        for n, words in enumerate((view.name, view.tape)):
            face: Face = "bold" if n == 0 else "sans"
            canvas.text(EDGE_MM, y + 3 + 4.5 * n, words, TEXT_MM, face=face)
        y += HEAD_MM
        canvas.add(_drawn(view, box.pitch_mm), EDGE_MM, y)
        y += view.high_mm + BETWEEN_MM
    canvas.path(f"M{number(EDGE_MM)} {number(y + 2)}h{BAR_MM}m-{BAR_MM} -2v4m{BAR_MM} -4v4", 0.25)
    canvas.text(EDGE_MM + BAR_MM + 3, y + 3, MEASURE, TEXT_MM)
    high = y + FOOT_MM
    lines = (f"{box.name}; {title}", _paper(wide + 2 * EDGE_MM, high))
    for n, line in enumerate(lines):
        canvas.text(EDGE_MM, y + 8.5 + 4.5 * n, line, TEXT_MM)
    widths = [BAR_MM + 3 + text_width_mm(MEASURE, TEXT_MM), *(text_width_mm(line, TEXT_MM) for line in lines)]
    widths += [text_width_mm(view.tape, TEXT_MM) for view in box.views]
    return canvas.svg(max(wide, *widths) + 2 * EDGE_MM, high, f"{title}, drill template")


def _paper(wide: float, high: float) -> str:
    """The smallest sheet that it is printed on at its size."""
    sides = sorted((wide, high))
    name = next((name for name, *room in PAPERS if sides[0] <= room[0] + 16 and sides[1] <= room[1] + 16), "")
    return f"print at 100 % on {name}" if name else "print at 100 % on a roll, or give the DXF to whoever cuts the box"


def _drawn(view: View, pitch_mm: float) -> Canvas:
    """A wall from its upper left corner."""
    canvas, high = Canvas(), view.high_mm
    canvas.rect(0, 0, view.wide_mm, high, 0.25, SOFT)
    if view.outline:
        x, y, across, up = view.outline
        canvas.rect(x, high - y - up, across, up, 0.2, HAIR)
        canvas.rect(x, high - y - up, across, up, 0.2, INK, dashes="2 1.5")
        canvas.text(x + across / 2, high - y - INSIDE_MM, view.inside, TEXT_MM, "middle")
    for hole in view.holes:
        _hole(canvas, hole, high - hole.y_mm, pitch_mm, hole_name(view.name, hole.kind))
    return canvas


def _hole(canvas: Canvas, hole: Hole, y: float, pitch_mm: float, name: str) -> None:
    x, radius = hole.x_mm, hole.size_mm / 2
    canvas.circle(x, y, radius, 0.25)
    arm = radius + CROSS_MM
    canvas.line((x - arm, y), (x + arm, y), width=0.15)
    canvas.line((x, y - arm), (x, y + arm), width=0.15)
    small = 2.5
    if hole.kind == COAX:
        canvas.text(x, y - arm - 1, shortened(hole.name, pitch_mm - 1, small), small, "middle")
        canvas.text(x, y + arm + 2.5, f"{hole.size_mm:g}", small, "middle", data_value=name)
    else:
        canvas.text(x, y + arm + 2.5, hole.name, small, "middle")
        canvas.text(x, y + arm + 2.5 + 1.3 * small, f"{hole.size_mm:g}", small, "middle", data_value=name)


def drill_dxf(box: Box, title: str) -> bytes:
    """The same walls one above the other, the last at the origin, and a bar of 50 mm below, in millimetres.

    Raises InputError where DXF cannot be made here.
    """
    return dxf(DXF_LAYERS, list(_dxf_shapes(box, title)))


def _dxf_shapes(box: Box, title: str) -> Iterator[Line | Circle | Words]:
    up = 0.0
    for view in reversed(box.views):
        yield _rectangle("walls", 0, up, view.wide_mm, view.high_mm)
        if view.outline:
            x, y, across, high = view.outline
            yield _rectangle("board", x, up + y, across, high)
            yield Words("words", (x, up + y + INSIDE_MM), view.inside, TEXT_MM)
        for hole in view.holes:
            yield Circle("holes", (hole.x_mm, up + hole.y_mm), hole.size_mm)
            yield Words("words", (hole.x_mm, up + hole.y_mm - hole.size_mm / 2 - 5), hole.name, 2.5)
        yield Words("words", (0, up + view.high_mm + 2), f"{view.name}: {view.tape}", TEXT_MM)
        up += view.high_mm + HEAD_MM + BETWEEN_MM
    yield Line("words", ((0, -8), (BAR_MM, -8)))
    for x in (0, BAR_MM):
        yield Line("words", ((x, -10), (x, -6)))
    for row, text in enumerate((MEASURE, f"{box.name}; {title}")):
        yield Words("words", (0, -15 - 5 * row), text, TEXT_MM)


def _rectangle(layer: str, x: float, y: float, wide: float, high: float) -> Line:
    return Line(layer, ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high), (x, y)))
