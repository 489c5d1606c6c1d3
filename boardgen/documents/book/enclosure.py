"""The box: what to drill, what goes where, and how the board is mounted."""

from __future__ import annotations

import itertools

from boardgen.documents.book.source import Source
from boardgen.documents.page.blocks import Block, Caution, Column, Group, Items, Picture, Section, Table, Ticks
from boardgen.purchasing.bill import BillLine

KINDS = ("enclosure", "hardware")
SPAN_M = 0.2
"""A board of 1.6 mm held no closer bends under a hand: common practice, no source."""
MOUNTING = (
    "On the lid: the board hangs on its standoffs with its parts towards you when the lid is "
    "open; leave a loop of every "
    "cable long enough to open it. Connectors sit in the lid itself, and must be insulated where the lid is metal.",
    "On the back: the board lies on its standoffs; connectors sit in the lower side, "
    "pigtails run straight to their pads. "
    "Water that comes in runs past below the board. Choose this where the box has no hinge.",
)
DOING = (
    "Measure the bar on drill-template.svg with a ruler: print it again at 100 % where it is not 50 mm.",
    "Tape the template on, punch the centres, drill 3 mm pilot holes, then the sizes below. Wear eye protection.",
    "Take the burrs off, fit connectors with their washers, glands with their seals, the vent at the lowest point.",
    "Measure that no connector's shell touches another or a metal lid.",
    "Fit the earth stud: outside the stake's wire, inside the shortest wire to the stud of the board.",
)
HOLES = {
    "F": ("F bulkhead connector", "9.5 mm, with a flat where the connector has one (recalled: measure yours)"),
    "BNC": ("BNC bulkhead connector, insulated", "12.7 mm, with a flat (recalled: measure yours)"),
    "M16": ("cable gland M16", "16.5 mm"),
    "M20": ("cable gland M20", "20.5 mm"),
    "M12": ("vent plug M12", "12.5 mm"),
}
"""What a hole must be for each size, by the value of the part; clearance of half a millimetre: common practice."""


def section(source: Source) -> Section:
    """Template, holes, mounting."""
    design = source.design
    lines = [line for line in design.bill.lines if line.part.kind in KINDS]
    blocks: list[Block] = [Ticks(DOING)]
    template = source.drawings.get("drill-template.svg")
    if template:
        shows = (
            "The board's outline with its screws as crosses in circles and the centre of each port as "
            "a cross, from the component side."
        )
        caption = "Not to scale in this book: print drill-template.svg at 100 % and measure its bar"
        blocks.append(Picture(template, shows, caption))
    blocks.append(_holes(source, lines))
    rows = [(f"{line.needed.normalize():f}", line.part.name, line.note) for line in lines]
    columns = (Column("Count", "number"), Column("Part", "code"), Column("For"))
    blocks += [Table("Box and fixings", columns, rows), Group("Lid or back", (Items(MOUNTING),))]
    if made := design.layout:
        across = sorted({hole.at[0] for hole in made.board.mounting_holes})
        apart_nm = max(right - left for left, right in itertools.pairwise(across))
        if apart_nm * 1e-9 > SPAN_M:
            words = (
                f"The screws of the board are {source.say.length(apart_nm * 1e-9)} apart. Put a stick-on support as "
                "high as the standoffs under the middle of either long edge, off all solder: the board must not bend "
                "when a wire is pushed into a terminal."
            )
            blocks.append(Caution("note", (words,)))
    if design.request.has_earth:
        words = (
            "Earth stud: M4 or #8, stainless, toothed washer on bare metal; wire of 2.5 mm2 or more, "
            "short and straight, or as local code asks."
        )
        blocks.append(Caution("note", (words,)))
    do = "Drill the empty box by the template, fit connectors and glands, and only then mount the board."
    return Section("enclosure", "Enclosure sheet", do, tuple(blocks))


def _holes(source: Source, lines: list[BillLine]) -> Table:
    boards = source.design.bill.boards
    rows = []
    for line in lines:
        if line.part.value in HOLES and line.part.kind == "hardware":
            name, size = HOLES[line.part.value]
            rows.append((f"{int(line.needed) // boards}", name, size))
    made = source.design.layout
    if made is not None:
        holes = made.board.mounting_holes
        rows.append((str(len(holes)), "screws of the board", source.say.length(holes[0].hole_nm * 1e-9, 1)))
    if source.design.request.has_earth:
        rows.append(("1", "earth stud M4", "4.3 mm; for #8 4.4 mm"))
    columns = (Column("Holes", "number"), Column("For"), Column("Size"))
    return Table("Holes of one box", columns, rows)
