"""A table of the designators of strips that are wired alike: the drawn one's as headings, a row for each other."""

from __future__ import annotations

from boardgen.circuit.sketches import parts_of
from boardgen.documents.canvas import SOFT, Canvas
from boardgen.documents.letters import text_width_mm, wrapped
from boardgen.documents.pictures.schematic_strips import Kind
from boardgen.model.netlist import Netlist
from boardgen.model.sketch import TEXT_MM
from boardgen.stages.pen import shown

LABEL_MM, COLUMN_GAP_MM = 60.0, 2.5
ROW_MM, LINE_MM = 5.0, 3.6


def table(netlist: Netlist, kind: Kind, most_wide: float) -> tuple[Canvas, float, float]:
    """The table from the origin, and its width and height in mm; one that is too wide goes on below itself."""
    refs = [[shown(part) for part in parts_of(netlist, port.strip)] for port in kind.ports]
    labels = [wrapped(port.strip, LABEL_MM, TEXT_MM) for port in kind.ports]
    label_mm = max(text_width_mm(line, TEXT_MM) for lines in labels for line in lines) + COLUMN_GAP_MM
    widths = [max(text_width_mm(row[n], TEXT_MM, "mono") for row in refs) + COLUMN_GAP_MM for n in range(len(refs[0]))]
    canvas, y, wide = Canvas(), 0.0, 0.0
    for columns in _chunks(widths, most_wide - label_mm):
        across = label_mm + sum(widths[n] for n in columns)
        for row, lines in enumerate(labels):
            heading = row == 0
            x = label_mm
            for n in columns:
                canvas.text(x, y + 3, refs[row][n], TEXT_MM, face="mono", class_="head" if heading else "cell")
                x += widths[n]
            for n, line in enumerate(lines):
                canvas.text(0, y + LINE_MM * n + 3, line, TEXT_MM, class_="label head" if heading else "label")
            y += ROW_MM + LINE_MM * (len(lines) - 1)
            if heading:
                canvas.line((0, y - 0.6), (across, y - 0.6), width=0.2, colour=SOFT, class_="rule")
                y += 1.0
        y += ROW_MM
        wide = max(wide, across)
    whole = Canvas()
    whole.add(canvas, class_="table")
    return whole, wide, y - ROW_MM


def _chunks(widths: list[float], most: float) -> list[list[int]]:
    """Columns in groups that are as wide as there is room for."""
    groups: list[list[int]] = [[]]
    room = most
    for number, width in enumerate(widths):
        if groups[-1] and width > room:
            groups.append([])
            room = most
        groups[-1].append(number)
        room -= width
    return groups
