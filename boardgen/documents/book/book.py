"""book.html, all that is needed at the bench, and appendix.html, all that is looked up; each fact stands in one."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

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
    house_end,
    installation,
    response,
    summary,
    sweeps,
    targets,
    values,
    verify,
    windings,
)  # fmt: skip
from boardgen.documents.book.source import Source, StationSide
from boardgen.documents.counted import counted
from boardgen.documents.page.blocks import Page, Section
from boardgen.documents.page.render import render
from boardgen.documents.page.spelling import Spelling

SECTIONS = (
    summary.section, windings.section, assembly.section, commissioning.section, cable.section, enclosure.section,
    installation.section,
)  # fmt: skip
APPENDIX = (
    faults.section, house_end.section, verify.section, bill.section, targets.section, response.section, sweeps.section,
    values.section, drawings.board, drawings.schematic, verify.uncertain,
)  # fmt: skip


def book_files(
    design: Design, drawings: Mapping[str, str], date: str, station: StationSide | None = None
) -> dict[str, bytes]:
    """Both pages by file name. `drawings` are those that the build has made; `date` is printed, "" for none.

    `station` is given for a board of a station, whose cables and source are the station's.
    """
    wanted = design.spec.documents
    patterns = (c.part.footprint for c in design.netlist.components)
    own_words = (design.spec.title, *(s.label for s in design.request.strips), *dict.fromkeys(patterns))
    say = Spelling(wanted.decimal == "comma", wanted.dimensions == "inch beside", own_words)
    source = Source(design, say, drawings, date, station)
    return {
        "book.html": _page(source, "build book", SECTIONS),
        "appendix.html": _page(source, "appendix to the build book", APPENDIX),
    }


def _page(source: Source, name: str, sections: Sequence[Callable[[Source], Section | None]]) -> bytes:
    spec, say = source.design.spec, source.say
    made = (write(source) for write in sections)
    dated = f", {source.date}" if source.date else ""
    page = Page(
        title=f"{spec.title}: {name}",
        subtitle=f"Relay switch board for {counted(len(source.antennas), 'antenna')}, revision {spec.revision}{dated}",
        sections=tuple(section for section in made if section is not None),
        foot=f"revision {spec.revision}{dated}, written by {PROGRAM}",
        own_words=say.own_words,
        kept_as=f"{spec.title}, {name}, revision {spec.revision}",
    )
    return render(page, say, spec.documents.paper)
