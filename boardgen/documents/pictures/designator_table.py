"""A table of the designators of strips that are wired alike: the drawn one's as headings, a row for each other."""

from __future__ import annotations

from html import escape

from boardgen.circuit.sketches import parts_of
from boardgen.documents.lettering import MONO, SANS, sans_ems, wrapped
from boardgen.documents.palette import INK, SOFT
from boardgen.documents.pictures.schematic_strips import Kind
from boardgen.model.netlist import Netlist
from boardgen.model.sketch import TEXT_MM, ems
from boardgen.stages.pen import shown

LABEL_MM, COLUMN_GAP_MM = 60.0, 2.5
ROW_MM, LINE_MM = 5.0, 3.6


def table(netlist: Netlist, kind: Kind, most_wide: float) -> tuple[str, float, float]:
    """The table as SVG from the origin, and its width and height in mm; one that is too wide goes on below itself."""
    refs = [[shown(part) for part in parts_of(netlist, port.strip)] for port in kind.ports]
    labels = [wrapped(port.strip, LABEL_MM / TEXT_MM) for port in kind.ports]
    label_mm = max(sans_ems(line) for lines in labels for line in lines) * TEXT_MM + COLUMN_GAP_MM
    widths = [max(ems(row[n]) for row in refs) * TEXT_MM + COLUMN_GAP_MM for n in range(len(refs[0]))]
    found, y, wide = [], 0.0, 0.0
    for columns in _chunks(widths, most_wide - label_mm):
        across = label_mm + sum(widths[n] for n in columns)
        for row, lines in enumerate(labels):
            found.append(_row([refs[row][n] for n in columns], [widths[n] for n in columns], label_mm, y, row == 0))
            found += [_label(line, y + LINE_MM * n, row == 0) for n, line in enumerate(lines)]
            y += ROW_MM + LINE_MM * (len(lines) - 1)
            if row == 0:
                found.append(f'<path class="rule" d="M0 {y - 0.6:g}H{across:g}" stroke="{SOFT}" stroke-width="0.2"/>\n')
                y += 1.0
        y += ROW_MM
        wide = max(wide, across)
    return f'<g class="table" font-size="{TEXT_MM}" fill="{INK}">\n{"".join(found)}</g>\n', wide, y - ROW_MM


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


def _row(refs: list[str], widths: list[float], x: float, y: float, heading: bool) -> str:
    words = []
    kind = "head" if heading else "cell"
    for ref, width in zip(refs, widths, strict=True):
        words.append(f'<text class="{kind}" x="{x:.2f}" y="{y + 3:.2f}">{escape(ref)}</text>\n')
        x += width
    return f'<g font-family="{MONO}">{"".join(words)}</g>\n'


def _label(words: str, y: float, heading: bool) -> str:
    kind = "label head" if heading else "label"
    return f'<text class="{kind}" font-family="{SANS}" x="0" y="{y + 3:.2f}">{escape(words)}</text>\n'
