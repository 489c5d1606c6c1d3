"""station.html: the station from plan to working lines, on pages of the same make as the build book."""

from __future__ import annotations

from boardgen.documents import PROGRAM
from boardgen.documents.book.installation import CARE, METAL, dangers
from boardgen.documents.counted import counted
from boardgen.documents.identity import told
from boardgen.documents.letters import with_letters
from boardgen.documents.page.blocks import Block, Caution, Group, Items, Page, Picture, Section, Terms, Ticks
from boardgen.documents.page.render import render
from boardgen.documents.station import cables, paths, proved, selection, switch_over
from boardgen.documents.station.drawings import OVERVIEW, drawings
from boardgen.documents.station.folders import SELECTOR, box_folder
from boardgen.documents.station.labels import LABELS, station_labels
from boardgen.documents.station.source import Source
from boardgen.documents.text import Text
from boardgen.station.steering import Joint, outputs_needed
from boardgen.station.table import Row


def book_files(source: Source) -> dict[str, bytes]:
    """station.html and its drawings."""
    drawn = drawings(source)
    sections = (
        _summary(source, drawn),
        selection.section(source, drawn),
        selection.wiring(source, drawn),
        cables.section(source),
        *((switch_over.section(source),) if source.is_switch else ()),
        _test(source),
        proved.section(source),
        paths.section(source),
        _installation(source),
    )
    plan = source.plan
    dated = f", {source.date}" if source.date else ""
    boxes = counted(len(plan.box), "box", "boxes")
    page = Page(
        title=f"{plan.title}: station book",
        subtitle=f"{boxes}, {len(plan.direction)} directions, revision {plan.revision}{dated}",
        sections=sections,
        foot=f"revision {plan.revision}{dated}, written by {PROGRAM}",
        own_words=source.say.own_words,
        kept_as=f"{plan.title}, station book, revision {plan.revision}",
    )
    files = {name: with_letters(svg).encode() for name, svg in {**drawn, LABELS: station_labels(source)}.items()}
    return {"station.html": render(page, source.say, source.set_as.paper), **files}


def _summary(source: Source, drawn: dict[str, str]) -> Section:
    steering = source.station.steering
    plan = source.plan
    kind = "positions of a manual switch" if source.is_switch else source.outputs_words
    used = outputs_needed(steering, source.design.source)
    count = len(source.diodes)
    facts: list[tuple[str, Text]] = [
        ("source", (f"{used} of {plan.source.outputs} {kind}, ", source.supply)),
        ("steering", counted(count, "diode") if count else "no diodes"),
        ("at rest", f"the feeder of {source.table.rest} is through, no antenna is selected"),
        (
            "proof",
            "every relay does what is wanted in every state"
            if not source.proof.wrong
            else f"{len(source.proof.wrong)} readings are not right",
        ),
    ]
    facts += [(f"box {name}", f"its own build book is {box_folder(name)}/book.html") for name in source.design.boxes]
    if source.design.selector is not None:
        facts.append(("feeder selector", f"its own build book is {SELECTOR}/book.html"))
    blocks: list[Block] = [Caution("danger", dangers()), Terms(tuple(facts))]
    if source.design.problems:
        blocks.append(Caution("caution", told(source.design.problems)))
    shows = f"{counted(len(plan.box), 'box', 'boxes')} with feeder and control cable each, ending at the receiver."
    blocks.append(Picture(drawn[OVERVIEW], shows, "The station at a glance"))
    do = "Read what falls short, then build each box by its own book, then wire the source by this one."
    return Section("summary", "Summary", do, tuple(blocks))


def _test(source: Source) -> Section:
    """What to do at the source before and after the cables go on."""
    before = (
        "Fuse out, cables off: no output has a path to 0V or to another line but those of the joints ticked above. "
        "Measure with the meter's diode range: forward one way, open the other.",
        *(f"{name}: {_forward(source, j)} it conducts, backwards it does not" for j, name in source.diodes.items()),
    )
    after = tuple(
        f"{row.direction}: {_chosen(source, row)}; {_relays(row)} heard to click, {row.selected} is received"
        for row in source.table.rows
    )
    off = "Everything off: every relay has released, nothing is received but what the feeder itself picks up"
    blocks = (Group("Before the cables go on", (Ticks(before),)), Group("With everything on", (Ticks((*after, off)),)))
    do = "Measure first with the fuse out, then select every direction once, one person listening at the boxes."
    return Section("test", "Testing the station", do, blocks)


def _forward(source: Source, joint: Joint) -> str:
    output = f"{source.way} {joint.output}"
    return f"from {joint.load} to {output}" if source.sinks else f"from {output} to {joint.load}"


def _relays(row: Row) -> str:
    return " and ".join(f"{r.board} {r.ref}" for r in (*row.relays, *row.along))


def _chosen(source: Source, row: Row) -> str:
    if source.is_switch:
        return f"position {source.chosen(row)}, nothing else on"
    return f"{source.way} {source.chosen(row)} on"


def _installation(source: Source) -> Section:
    release = (
        "Release every relay, at every box and in the selector, while any transmitter nearby is on the air; a station "
        "that transmits needs an interlock that takes the supply away, not a habit."
    )
    blocks = (Caution("caution", (release,)), Group("Care", (Items((METAL, *CARE)),)))
    do = "Read this before you carry anything outdoors; the books of the boxes say the rest."
    return Section("installation", "Installation notes", do, blocks)
