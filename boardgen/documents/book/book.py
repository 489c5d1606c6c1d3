"""book.html: every section in the order in which a person needs it."""

from __future__ import annotations

from collections.abc import Mapping

from boardgen.design import Design
from boardgen.documents import PROGRAM
from boardgen.documents.book import (
    assembly,
    bill,
    cable,
    commissioning,
    drawings,
    enclosure,
    faults,
    installation,
    response,
    summary,
    values,
    verify,
    windings,
)  # fmt: skip
from boardgen.documents.book.source import Source, StationSide
from boardgen.documents.counted import counted
from boardgen.documents.page.blocks import Page
from boardgen.documents.page.render import render
from boardgen.documents.page.spelling import Spelling

SECTIONS = (
    summary.section, verify.section, bill.section, windings.section, assembly.section, commissioning.section,
    faults.section, enclosure.section, cable.section, installation.section, drawings.board, drawings.schematic,
    values.section, response.section, verify.uncertain,
)  # fmt: skip


def book(design: Design, drawings: Mapping[str, str], date: str, station: StationSide | None = None) -> bytes:
    """The page. `drawings` are those that the build has made, by file name; `date` is printed, "" for none.

    `station` is given for a board of a station, whose cables and source are the station's.
    """
    wanted = design.spec.documents
    own_words = (design.spec.title, *(s.label for s in design.request.strips))
    say = Spelling(wanted.decimal == "comma", wanted.dimensions == "inch beside", own_words)
    source = Source(design, say, drawings, date, station)
    made = (write(source) for write in SECTIONS)
    foot = f"revision {design.spec.revision}" + (f", {date}" if date else "") + f", written by {PROGRAM}"
    ways = counted(len(source.antennas), "antenna")
    page = Page(
        title=f"{design.spec.title}: build book",
        subtitle=f"Relay switch board for {ways}, revision {design.spec.revision}" + (f", {date}" if date else ""),
        sections=tuple(section for section in made if section is not None),
        foot=foot,
        own_words=own_words,
    )
    return render(page, say, wanted.paper)
