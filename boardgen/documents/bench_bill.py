"""bench-bill.html: the bill beside the board; whatever is touched in one lights up in the other."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from boardgen.design import Design
from boardgen.documents.book.step_picture import EDGE_MM, outlined
from boardgen.documents.canvas import INK, PAPER, Canvas
from boardgen.documents.letters import text_width_mm
from boardgen.documents.page.render import fill
from boardgen.documents.page.spelling import Spelling
from boardgen.kinds import KIND
from boardgen.model.copper import Board, PlacedPart

LARGEST_MM, SMALLEST_MM = 2.4, 1.1
"""Letters of designators."""


class Row(Struct, frozen=True):
    """A line of the bill as the bench wants it: how many pieces go into one board, and where."""

    key: str
    part: str
    what: str
    pieces: int
    refs: tuple[str, ...]


def bench_bill(design: Design, board: Board) -> bytes:
    """One page with a small script and no request to anywhere. Ticks stay in the browser, by title and revision."""
    spec = design.spec
    fitted = {part.ref for part in board.parts if part.fitted and KIND[part.kind].appearance.colour}
    lines = {line.part: [ref for ref in line.refs if ref in fitted] for line in design.bill.lines}
    billed = {ref for refs in lines.values() for ref in refs}
    for component in design.netlist.components:
        # what is cut from a length of wire stands in no line of an order
        if component.ref in fitted - billed:
            lines.setdefault(component.part, []).append(component.ref)
    rows = [Row(part.key, part.name, part.description, len(refs), tuple(refs)) for part, refs in lines.items() if refs]
    say, svg = Spelling(spec.documents.decimal == "comma"), _picture(board, rows)
    return fill("bench_bill.html", title=spec.title, revision=spec.revision, rows=rows, svg=svg, say=say)


def _picture(board: Board, rows: Sequence[Row]) -> str:
    """The board from above, each part of the rows a group that names itself."""
    wide, high = board.width_nm / 1e6, board.height_nm / 1e6
    shown = {ref for row in rows for ref in row.refs}
    canvas = Canvas()
    outlined(canvas, board, (0.0, 0.0, wide, high))
    for part in board.parts:
        if part.ref in shown:
            with canvas.group(data_ref=part.ref):
                _filled(canvas, part, high)
    size = (wide + 2 * EDGE_MM, high + 2 * EDGE_MM)
    return canvas.svg(*size, f"{board.title}, top", corner=(-EDGE_MM, -EDGE_MM), sized=False, paper="")


def _filled(canvas: Canvas, part: PlacedPart, board_high: float) -> None:
    """A body with its designator inside, turned where the body is higher than wide."""
    left, low, right, top = (value / 1e6 for value in part.body)
    x, y, wide, high = left, board_high - top, right - left, top - low
    canvas.rect(x, y, wide, high, fill=INK)
    long, short = max(wide, high), min(wide, high)
    size = max(SMALLEST_MM, min(LARGEST_MM, 0.92 * long / text_width_mm(part.ref, 1.0, "mono"), 0.8 * short))
    middle_x, middle_y, drop = x + wide / 2, y + high / 2, 0.36 * size
    at = (middle_x + drop, middle_y) if high > wide else (middle_x, middle_y + drop)
    canvas.text(*at, part.ref, size, "middle", face="mono", colour=PAPER, turn=-90 if high > wide else 0)
