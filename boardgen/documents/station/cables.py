"""Cable sheets: what each conductor carries, where it ends, what flows in it, how long it may be."""

from __future__ import annotations

from boardgen.documents.identity import named
from boardgen.documents.page.blocks import Caution, Column, Group, Section, Table, Terms
from boardgen.documents.station.drawings import control_words
from boardgen.documents.station.proved import wanted_volts
from boardgen.documents.station.source import Source
from boardgen.documents.station.tables import source_end
from boardgen.documents.text import Text, Value
from boardgen.spec import quantity

NOT_NETWORK = (
    "A control cable looks like a network cable and is none: mark both ends, and never plug one into network equipment."
)


def section(source: Source) -> Section:
    """A group for each box."""
    groups = tuple(_group(source, box.name) for box in source.plan.box)
    do = "Make both ends of each cable by its table, label them, and measure every conductor before the fuse goes in."
    return Section("cables", "Cable sheets", do, (*groups, Caution("caution", (NOT_NETWORK,))))


def _group(source: Source, box: str) -> Group:
    reach = source.design.reaches[box]
    far = "20 km or more" if reach.longest_m >= 20e3 else source.say.far(reach.longest_m)
    thinnest = "none" if reach.thinnest_awg is None else f"{reach.thinnest_awg} AWG"
    named_far = Value(named("box", box, "longest cable"), far)
    length = ("up to ", named_far) if reach.longest_m else ("no length",)
    facts: tuple[tuple[str, Text], ...] = (
        ("cable", control_words(source, box)),
        ("would work", (*length, f"; at this length the thinnest gauge that would do is {thinnest}")),
    )
    if reach.at is not None:
        least, needed = wanted_volts(reach.at, reach.volts, reach.needed_v)
        facts = (*facts, ("least to spare", (f"{reach.at}: ", least, ", ", needed, f" needed, with {reach.case} on")))
    several = any(flow.conductor.place.cable > 1 for flow in source.design.flows[box])
    columns = (
        Column("", "tick"), Column("No.", "number"), Column("Colour", narrow=True), Column("Pair", "number"),
        Column("Carries"), Column("At the source", narrow=True), Column("At most", "number"),
    )  # fmt: skip
    rows: list[tuple[Text, ...]] = []
    for flow in source.design.flows[box]:
        c = flow.conductor
        place = f"{c.place.cable}/{c.place.position}" if several else str(c.place.position)
        carries = c.what if c.net else "spare: tape both ends"
        amperes: Text = ""
        if c.net:
            amperes = Value(named("box", box, "conductor", place, "most"), quantity.format(flow.most_a, "A", 2))
        name = f"{box} conductor {place} measured"
        rows.append(
            (
                name,
                place,
                c.place.colour or "............",
                str(c.place.pair),
                carries,
                source_end(source.design, c),
                amperes,
            )
        )
    return Group(f"Box {box}", (Terms(facts), Table(f"Conductors to {box}", columns, rows)))
