"""schematic.svg: the netlist as drawn sheets, one under the other, each of a size that prints at 1:1."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from boardgen.circuit.sketches import apart_sketches, is_output, jack_sketches, parts_of, strip_name
from boardgen.documents.canvas import HAIR, SOFT, Canvas
from boardgen.documents.letters import text_width_mm, wrapped
from boardgen.documents.pictures.schematic_strips import (
    Kind,
    common_sketch,
    kinds,
    strip_sketch,
)
from boardgen.documents.pictures.sheets import sheets_svg
from boardgen.documents.pictures.sketch import box, draw_sketch
from boardgen.model.netlist import Netlist, Port
from boardgen.model.sketch import TEXT_MM, Sketch
from boardgen.stages.pen import shown

PAPERS = {"A4": ((297.0, 210.0), (420.0, 297.0)), "Letter": ((279.4, 215.9), (431.8, 279.4))}
"""Width and height of a sheet in mm: the usual one, and the double one for what is too wide for it."""
EDGE_MM, PAD_MM, GAP_MM = 6.0, 4.0, 4.5
HEAD_MM, LINE_MM = 3.5, 4.0
LABEL_MM, COLUMN_GAP_MM = 60.0, 2.5
ROW_MM, LABEL_LINE_MM = 5.0, 3.6
BETWEEN_SHEETS_MM = 6.0
NOTES = (
    "Symbols in the manner of IEC 60617. Relays at rest, nothing energised; a dashed line couples two contacts.",
    "… stands for the name of the strip. A dot beside a winding marks its start. Points of one name are joined.",
)
MISSING = "* not fitted"


class Block(Struct, frozen=True):
    """A drawing with a heading, ready to be placed by its upper left corner; a table names the block it belongs to."""

    wide: float
    high: float
    drawn: Canvas
    belongs_to: int | None = None


def schematic(netlist: Netlist, date: str = "", paper: str = "A4") -> str:
    """All sheets as one SVG."""
    sheets, (wide, high) = _sheets(netlist, date, paper)
    return sheets_svg(f"{netlist.title}, schematic", sheets, wide, high, between=BETWEEN_SHEETS_MM)


def _sheets(netlist: Netlist, date: str, paper: str) -> tuple[list[Canvas], tuple[float, float]]:
    blocks = _blocks(netlist, PAPERS[paper][0][0] - 2 * (EDGE_MM + PAD_MM))
    notes = [*NOTES, MISSING] if any(not part.fitted for part in netlist.components) else list(NOTES)
    size = _size(blocks, paper)
    foot = _foot(netlist, date, notes, size[0])
    pages = _pages(blocks, size[0], size[1] - foot.high)
    return [_sheet(page, foot, size, f"sheet {n} of {len(pages)}") for n, page in enumerate(pages, 1)], size


def _blocks(netlist: Netlist, wide: float) -> list[Block]:
    """Everything to be placed: antennas, their tables, the output, the lines of the board, the earth."""
    antennas = [port for port in netlist.ports if not is_output(port)]
    output = next(port for port in netlist.ports if is_output(port))
    alike = kinds(netlist)
    found = [
        _drawn(_strip_heading(netlist, kind, antennas), strip_sketch(netlist, kind.ports[0]), wide) for kind in alike
    ]
    found.append(_drawn(f"Output {output.ref}", strip_sketch(netlist, output), wide))
    common = common_sketch(netlist)
    if common:
        found.append(_drawn("Control entry, common lines", common, wide))
    found += [_drawn("Control entry, not Ethernet", jack, wide) for jack in jack_sketches(netlist)]
    found += [_drawn(name.capitalize(), sketch, wide) for name, sketch in apart_sketches(netlist)]
    for number, kind in enumerate(alike):
        if len(kind.ports) > 1:
            heading = f"Wired like {kind.ports[0].strip}, with the same values"
            table = _block(heading, *_table(netlist, kind, wide), wide)
            found.append(replace(table, belongs_to=number))
    return found


def _strip_heading(netlist: Netlist, kind: Kind, antennas: list[Port]) -> str:
    port = kind.ports[0]
    name = strip_name(netlist, port)
    words = f"Antenna {antennas.index(port) + 1}: {port.strip}"
    if name != port.strip:
        words += f" (in names of nets: {name})"
    more = len(kind.ports) - 1
    return f"{words}; {more} more wired alike, see the table" if more else words


def _drawn(heading: str, sketch: Sketch, wide: float) -> Block:
    left, top, right, bottom = box(sketch)
    canvas = Canvas()
    draw_sketch(canvas, sketch, -left, -top)
    return _block(heading, canvas, right - left, bottom - top, wide)


def _block(heading: str, body: Canvas, body_wide: float, body_high: float, most: float) -> Block:
    """A body whose upper left corner is the origin, under its heading."""
    lines = tuple(wrapped(heading, min(most, max(body_wide, 100.0)), HEAD_MM))
    head = len(lines) * 1.3 * HEAD_MM + 1.8
    wide = max(body_wide, *(text_width_mm(line, HEAD_MM) for line in lines))
    drawn = Canvas()
    for n, line in enumerate(lines, 1):
        drawn.text(0, n * 1.3 * HEAD_MM - 1, line, HEAD_MM)
    drawn.add(body, 0, head)
    return Block(wide, head + body_high, drawn)


def _size(blocks: list[Block], paper: str) -> tuple[float, float]:
    """The usual sheet, the double one, or one as wide and high as it takes."""
    margin = 2 * (EDGE_MM + PAD_MM)
    wide, high = max(b.wide for b in blocks) + margin, max(b.high for b in blocks) + margin + 30.0
    for sheet in PAPERS[paper]:
        if wide <= sheet[0] and high <= sheet[1]:
            return sheet
    largest = PAPERS[paper][-1]
    return max(wide, largest[0]), max(high, largest[1])


Placed = tuple[float, float, Block]


def _pages(blocks: list[Block], wide: float, high: float) -> list[list[Placed]]:
    """Each block as high, then as far left, as there is room for it, on the first sheet that has room.

    A table stands on no sheet before that of the block it belongs to.
    """
    first = EDGE_MM + PAD_MM
    pages: list[list[Placed]] = []
    sheet_of: list[int] = []
    for block in blocks:
        start = 0 if block.belongs_to is None else sheet_of[block.belongs_to]
        for number, page in enumerate(pages[start:], start):
            place = _place(block, page, (wide - first, high - first))
            if place:
                page.append((*place, block))
                sheet_of.append(number)
                break
        else:
            pages.append([(first, first, block)])
            sheet_of.append(len(pages) - 1)
    return pages


def _place(block: Block, page: list[Placed], end: tuple[float, float]) -> tuple[float, float] | None:
    """The highest and then leftmost place beside or under what is there."""
    first = EDGE_MM + PAD_MM
    xs = [first, *(x + other.wide + GAP_MM for x, _, other in page)]
    ys = [first, *(y + other.high + GAP_MM for _, y, other in page)]
    for y, x in sorted((y, x) for x in xs for y in ys):
        inside = x + block.wide <= end[0] and y + block.high <= end[1]
        if inside and not any(_overlap(x, y, block, item) for item in page):
            return x, y
    return None


def _overlap(x: float, y: float, block: Block, item: Placed) -> bool:
    left, top, other = item
    beside = x + block.wide + GAP_MM <= left or left + other.wide + GAP_MM <= x
    return not beside and y < top + other.high + GAP_MM and top < y + block.high + GAP_MM


class Foot(Struct, frozen=True):
    """What stands at the foot of every sheet, from its upper edge down."""

    high: float
    lines: tuple[tuple[str, str], ...]


def _foot(netlist: Netlist, date: str, notes: list[str], wide: float) -> Foot:
    """Title, revision and notes. The number of the sheet has a place of its own at the right."""
    most = wide - 2 * (EDGE_MM + PAD_MM) - 40
    title = f"{netlist.title}: schematic, revision {netlist.revision}{f', {date}' if date else ''}"
    found = [(line, "title") for line in wrapped(title, most, HEAD_MM)]
    found += [(line, "note") for note in notes for line in wrapped(note, most, TEXT_MM)]
    return Foot(len(found) * LINE_MM + 4.0, tuple(found))


def _sheet(blocks: list[Placed], foot: Foot, size: tuple[float, float], number: str) -> Canvas:
    wide, high = size
    top, left, right = high - EDGE_MM - foot.high, EDGE_MM + PAD_MM, wide - EDGE_MM - PAD_MM
    canvas = Canvas()
    with canvas.group(class_="frame"):
        canvas.rect(EDGE_MM, EDGE_MM, wide - 2 * EDGE_MM, high - 2 * EDGE_MM, 0.5)
        canvas.line((EDGE_MM, top), (wide - EDGE_MM, top), width=0.5, colour=HAIR)
    for x, y, block in blocks:
        canvas.add(block.drawn, x, y, class_="block")
    for n, (line, kind) in enumerate(foot.lines, 1):
        style = (HEAD_MM, "") if kind == "title" else (TEXT_MM, SOFT)
        canvas.text(left, top + 2 + LINE_MM * n, line, style[0], colour=style[1])
    canvas.text(right, top + 2 + LINE_MM, number, TEXT_MM, "end")
    return canvas


def _table(netlist: Netlist, kind: Kind, most_wide: float) -> tuple[Canvas, float, float]:
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
                canvas.text(0, y + LABEL_LINE_MM * n + 3, line, TEXT_MM, class_="label head" if heading else "label")
            y += ROW_MM + LABEL_LINE_MM * (len(lines) - 1)
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
