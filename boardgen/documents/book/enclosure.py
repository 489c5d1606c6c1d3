"""The box: what to drill, what goes where, and how the board is mounted."""

from __future__ import annotations

from collections import Counter

from boardgen.documents.book.source import Source
from boardgen.documents.box import Box, box_of, hole_name
from boardgen.documents.identity import named
from boardgen.documents.page.blocks import Block, Caution, Column, Picture, Section, Table, Terms, Ticks, Words
from boardgen.documents.text import Code, Text, Value
from boardgen.sizing.box import WIDEST_GAP_MM

MOUNTING = {
    "lid": "The board hangs on its standoffs in the lid, its parts towards you when the lid is open: leave a loop of "
    "every pigtail and of the control cable long enough to open it.",
    "back": "The board lies on its standoffs in the back; pigtails run to the connectors in the lower wall. Water "
    "that comes in runs past below the board.",
}
DOING = (
    "Measure the bar on drill-template.svg with a ruler: print it again at 100 % where it is not 50 mm.",
    "Tape each wall of the template on as it says, punch the centres, drill 3 mm pilot holes, then the sizes drawn, in "
    "steps and slowly: polycarbonate cracks under a large drill. Wear eye protection.",
    "Take the burrs off, fit connectors with their washers, glands with their seals, vent and glands facing down.",
    "Measure that no connector's shell touches another.",
)
STUD = "Fit the earth stud: outside the stake's wire, inside the shortest wire to the stud of the board."
PIGTAIL = (
    "Strip 12 mm of jacket, comb the braid out and twist it; strip 5 mm of the centre. Centre to the connector's "
    "solder pin, braid to the tag under its nut, sleeve over both; at the board centre to the pad marked C, braid to "
    "that marked B. Solder before the connector goes into the wall: the box would soften."
)
EARTH = (
    "M4 or #8, stainless, toothed washer on bare metal; wire of 2.5 mm2 or more, short and straight, or as local code "
    "asks"
)
FLAT = (
    "Where a connector has a flat, drill smaller and file to its shape: sizes of F and BNC are recalled, measure yours."
)


def section(source: Source) -> Section:
    """Template, holes, mounting."""
    design, box = source.design, box_of(source.design)
    do = "Drill the empty box by the template, fit connectors and glands, and only then mount the board."
    if box is None:
        return Section("enclosure", "Box", do, (Words("There is no layout, so nothing says where to drill."),))
    blocks: list[Block] = [Ticks((*DOING, STUD) if design.request.has_earth else DOING)]
    if template := source.drawings.get("drill-template.svg"):
        shows = (
            f"The {box.mounting} with the board's outline and screws, and the lower wall with every hole at its size."
        )
        caption = "Not to scale in this book: print drill-template.svg at 100 % and measure its bar"
        high = sum(view.high_mm for view in box.views) + 50
        paper_mm = min(110.0, 110.0 * max(view.wide_mm for view in box.views) / high)
        blocks.append(Picture(template, shows, caption, paper_mm))
    blocks += [_holes(box), Terms(_facts(source, box))]
    if not box.fits:
        words = (
            "The connectors find no room at this pitch in this box, the largest on offer: lessen box.pitch, or take a "
            "larger one."
        )
        blocks.append(Caution("caution", (words,)))
    return Section("enclosure", "Box", do, tuple(blocks))


def _holes(box: Box) -> Table:
    rows = []
    for view in box.views:
        for (what, size), count in Counter((hole.kind, hole.size_mm) for hole in view.holes).items():
            rows.append((view.name, str(count), what, Value(hole_name(view.name, what), f"{size:g} mm")))
    columns = (Column("Wall"), Column("Holes", "number"), Column("For"), Column("Size", "number", narrow=True))
    return Table("Holes of one box", columns, rows, compact=True)


def _facts(source: Source, box: Box) -> tuple[tuple[str, Text], ...]:
    say = source.say
    # fmt: off
    facts: list[tuple[str, Text]] = [
        ("box", Code(box.name)),
        ("board", MOUNTING[box.mounting]),
        (
            "pitch",
            (
                "connectors ", Value(named("box", "pitch"), say.length(box.pitch_mm * 1e-3, 0)),
                " apart, for a spanner and a boot; ", Value(named("box", "widest gap"), f"{WIDEST_GAP_MM:.0f} mm"),
                " beside gland, vent and stud",
            ),
        ),
        ("connectors", FLAT),
        ("pigtails", PIGTAIL),
    ]
    # fmt: on
    if source.design.request.has_earth:
        facts.append(("earth stud", EARTH))
    return tuple(facts)
