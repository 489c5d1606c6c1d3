"""The wiring of a station as one drawing: outputs as rows, lines as columns, wires and diodes where they meet.

Each column ends at its conductor and its terminal in a box, or at its relay in the selector. A crossing without a dot
joins nothing. Where diodes sit in the boxes, each box has a field of its own behind its cable.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from boardgen.documents.canvas import BODY_MM, DOT_MM, INK, SMALL_MM, SOFT, TEXT_MM, WIRE_MM, Canvas, place
from boardgen.documents.letters import text_width_mm, wrapped

EDGE_MM, TITLE_MM = 8.0, 4.0
ROW_MM, COLUMN_MM, GAP_MM = 9.0, 9.0, 7.0
HEAD_MM, PLAIN_HEAD_MM = 21.0, 5.0
"""From the title of a field to its rows: with the fuse between, or without."""
LEAST_ROW_MM, LABEL_MM, SUPPLY_MM = 25.0, 66.0, 90.0
SLANT_MM = 4.0
"""A diode stands across the corner of row and column, its ends so far from it."""
DIODE = "M-1.3 -1.2L1.3 0L-1.3 1.2ZM1.3 -1.3L1.3 1.3"
"""It conducts to the right."""
SWITCH_MM = 12.0
NAME_MM = 2.2
LINE_MM = 1.35 * SMALL_MM
KEY = "A dot joins; a crossing without a dot does not. The bar of a diode is the band on its body."


class Row(Struct, frozen=True):
    """An output, or a conductor of one: its number and the words beside it."""

    number: int
    words: str


class Column(Struct, frozen=True):
    """A line: what stands at its foot, conductor first and then the end."""

    key: str
    words: tuple[str, ...]


class Foot(Struct, frozen=True):
    """A box, or the selector, under its columns, with notes on returns and spares."""

    title: str
    columns: tuple[Column, ...]
    notes: tuple[str, ...] = ()


class Joint(Struct, frozen=True):
    """What joins a row to a column: a wire, or a diode of that name, its anode at the row unless the source sinks."""

    row: int
    column: str
    diode: bool
    name: str = ""


class Field(Struct, frozen=True):
    """Rows, and columns under one or more feet. `switched` rows begin at a contact of the source.

    Those of a source that `sinks` lead to 0V: no fuse stands before them, and diodes have their cathodes at the rows.
    """

    title: str
    rows: tuple[Row, ...]
    feet: tuple[Foot, ...]
    joints: tuple[Joint, ...]
    switched: bool = True
    supply: str = ""
    sinks: bool = False


def wiring_diagram(title: str, fields: Sequence[Field]) -> str:
    """The drawing as SVG, one field under another."""
    canvas = Canvas()
    canvas.text(EDGE_MM, EDGE_MM + TEXT_MM, title, TITLE_MM, face="bold")
    canvas.text(EDGE_MM, EDGE_MM + 8, KEY, SMALL_MM, colour=SOFT)
    y, wide = EDGE_MM + 12.0, EDGE_MM + max(text_width_mm(title, TITLE_MM, "bold"), text_width_mm(KEY, SMALL_MM))
    for field in fields:
        right, y = _field(canvas, field, y)
        wide = max(wide, right)
    return canvas.svg(wide + EDGE_MM, y + EDGE_MM, title)


def _field(canvas: Canvas, field: Field, top: float) -> tuple[float, float]:
    """Draws a field below `top`; its right and lower edge."""
    labels = {row.number: wrapped(row.words, LABEL_MM, SMALL_MM) for row in field.rows}
    left = EDGE_MM + max((text_width_mm(line, SMALL_MM) for lines in labels.values() for line in lines), default=0.0)
    left = max(left, EDGE_MM + LEAST_ROW_MM) + 3.0
    start = left + (SWITCH_MM if field.switched else 0.0)
    canvas.text(EDGE_MM, top + TEXT_MM, field.title, TEXT_MM, face="bold")
    heights = {row.number: max(ROW_MM, LINE_MM * len(labels[row.number]) + 2.5) for row in field.rows}
    rows: dict[int, float] = {}
    y = top + (HEAD_MM if field.switched else PLAIN_HEAD_MM)
    for row in field.rows:
        rows[row.number] = y + heights[row.number] / 2
        y += heights[row.number]
    places, right = _places(field, start + COLUMN_MM)
    for row in field.rows:
        at = rows[row.number]
        for line, words in enumerate(labels[row.number]):
            shift = (line - (len(labels[row.number]) - 1) / 2) * LINE_MM + 0.35 * SMALL_MM
            canvas.text(EDGE_MM, at + shift, words, SMALL_MM)
        ends = [places[j.column] - (SLANT_MM if j.diode else 0.0) for j in field.joints if j.row == row.number]
        if field.switched:
            _contact(canvas, left, at)
        canvas.line((start, at), (max([start + 3.0, *ends]), at), width=WIRE_MM)
    if field.switched and rows:
        _supply(canvas, field, left, top + HEAD_MM - 4.0, max(rows.values()))
    for joint in field.joints:
        _joint(canvas, places[joint.column], rows[joint.row], joint, sinks=field.sinks)
    foot = y + 3.0
    for column, x in places.items():
        first = min(rows[j.row] + (SLANT_MM if j.diode else 0.0) for j in field.joints if j.column == column)
        canvas.line((x, first), (x, foot), width=WIRE_MM)
    supplied = left + 3.0 + max((text_width_mm(line, SMALL_MM) for line in _supply_lines(field)), default=0.0)
    return max(right, start, supplied), _feet(canvas, field, places, foot)


def _places(field: Field, x: float) -> tuple[dict[str, float], float]:
    """Where each column stands, and the right edge."""
    found: dict[str, float] = {}
    for foot in field.feet:
        here = x
        for column in foot.columns:
            found[column.key] = here
            here += COLUMN_MM
        x = max(here, x + _foot_width(foot)) + GAP_MM
    return found, x - GAP_MM


def _foot_width(foot: Foot) -> float:
    return (
        max([text_width_mm(foot.title, TEXT_MM, "bold"), *(text_width_mm(note, SMALL_MM) for note in foot.notes), 0.0])
        + 4.0
    )


def _contact(canvas: Canvas, x: float, y: float) -> None:
    """An open contact from the supply to a row."""
    canvas.line((x, y), (x + 3.0, y), width=WIRE_MM)
    canvas.line((x + 3.0, y), (x + 8.5, y - 2.6), width=BODY_MM)
    canvas.line((x + 9.0, y), (x + SWITCH_MM, y), width=WIRE_MM)


def _supply(canvas: Canvas, field: Field, x: float, top: float, foot: float) -> None:
    """The supply's line down the contacts, with its fuse."""
    canvas.line((x, top - 2.0), (x, foot), width=WIRE_MM)
    if not field.sinks:
        canvas.rect(x - 1.3, top - 8.0, 2.6, 6.0, BODY_MM)
    canvas.line((x, top - 10.0), (x, top - 2.0), width=WIRE_MM)
    for n, line in enumerate(_supply_lines(field)):
        canvas.text(x + 3.0, top - 6.0 + n * LINE_MM, line, SMALL_MM)


def _supply_lines(field: Field) -> list[str]:
    return wrapped(field.supply, SUPPLY_MM, SMALL_MM)


def _joint(canvas: Canvas, x: float, y: float, joint: Joint, *, sinks: bool) -> None:
    if not joint.diode:
        canvas.circle(x, y, DOT_MM, fill=INK)
        return
    canvas.circle(x - SLANT_MM, y, DOT_MM, fill=INK)
    canvas.line((x - SLANT_MM, y), (x, y + SLANT_MM), width=WIRE_MM)
    turned = place(x - SLANT_MM / 2, y + SLANT_MM / 2, 225 if sinks else 45)
    canvas.path(DIODE, WIRE_MM, fill=INK, class_="diode", transform=turned)
    canvas.circle(x, y + SLANT_MM, DOT_MM, fill=INK)
    canvas.text(x + 1.0, y + SLANT_MM + 1.2, joint.name, NAME_MM)


def _feet(canvas: Canvas, field: Field, places: dict[str, float], top: float) -> float:
    """The words down each column, then a box around those of one foot; the lower edge."""
    lengths = [
        text_width_mm(words, SMALL_MM) for foot in field.feet for column in foot.columns for words in column.words
    ]
    tall = max(lengths, default=0.0) + 4.0
    lowest = top
    for foot in field.feet:
        if not foot.columns:
            continue
        left = places[foot.columns[0].key] - 0.6 * COLUMN_MM
        for column in foot.columns:
            for n, line in enumerate(column.words):
                canvas.text(places[column.key] + 0.8 - n * LINE_MM, top + 2.0, line, SMALL_MM, turn=90)
        wide = max(_foot_width(foot), COLUMN_MM * len(foot.columns) + 2.0)
        high = tall + 6.0 + LINE_MM * len(foot.notes) + 3.0
        canvas.rect(left, top, wide, high, BODY_MM)
        canvas.text(left + 2.0, top + tall + 4.0, foot.title, TEXT_MM, face="bold")
        for n, note in enumerate(foot.notes):
            canvas.text(left + 2.0, top + tall + 8.5 + n * LINE_MM, note, SMALL_MM)
        lowest = max(lowest, top + high)
    return lowest + 6.0
