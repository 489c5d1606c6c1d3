"""The control cable: conductors, colours, terminals, voltages, fuse, a manual selector."""

from __future__ import annotations

from boardgen.commissioning.cable import CableBench
from boardgen.commissioning.supplies import bench_volts
from boardgen.documents.book.conductors import ORDER, Conductor, conductors, in_words, of_station
from boardgen.documents.book.selector_picture import Selector, selector_picture
from boardgen.documents.book.source import Source
from boardgen.documents.identity import named, of_choice, several
from boardgen.documents.page.blocks import (
    Block,
    Caution,
    Column,
    Group,
    Items,
    Picture,
    Section,
    Table,
    Terms,
    Ticks,
    Words,
)
from boardgen.documents.text import Code, Text, Value
from boardgen.documents.values import text
from boardgen.model.choice import Subject
from boardgen.sizing.cable_places import COLOURED
from boardgen.stages.line_nets import Line

CABLE = Subject("", "control entry", "cable")
STATION = Group(
    "The other end",
    (
        Words(
            "This board is part of a station: its fuse, its outputs or switch, and what joins them to these conductors "
            "are in the station book, station.html. Conductors that carry an output end at the steering diodes in the "
            "box, before the terminals: the wiring sheet of this box in that book shows them."
        ),
    ),
)
FEEDS = ("Feeds have a toggle switch each from the same fuse, so that they can be off while a storm passes.",)
NOT_ETHERNET = (
    "This cable is not Ethernet, though its colours are: mark both ends so. A network supply of 48 V on it would cook "
    "a coil, and the voltage from here may spoil network equipment."
)
ON_BOARD = "SEL stands at a select line, FEED at a feed line, beside the name of their antenna"
MOST_POSITIONS = 12
"""Of a rotary switch that is commonly sold."""


def section(source: Source) -> Section:
    """The table of conductors, what arrives, the fuse, the selector."""
    control = source.design.spec.control
    found, missing = _conductors(source)
    cables = max((c.place.cable for c in found), default=1)
    blocks: list[Block] = []
    if control.conductors == COLOURED or control.entry == "jack":
        blocks.append(Caution("danger", (NOT_ETHERNET,)))
    blocks.append(Terms(_facts(source, cables)))
    blocks += [
        _table(source, number, [c for c in found if c.place.cable == number], cables) for number in range(1, cables + 1)
    ]
    if missing:
        names = ", ".join(in_words(line) for line in missing)
        blocks.append(Caution("caution", (f"No conductor is left for {names}.",)))
    blocks.append(_voltages(source))
    blocks += [_fuse(source), _selector(source, found)] if source.station is None else [STATION]
    do = (
        "Make both ends by this table, label them, and measure every conductor from end to end before the fuse goes in."
    )
    return Section("cable", "Control cable sheet", do, tuple(blocks))


def _conductors(source: Source) -> tuple[tuple[Conductor, ...], tuple[Line, ...]]:
    """What the station has decided where there is one; a board beside its source is wired as one on its own."""
    if source.station is not None and source.station.conductors:
        return of_station(source.bench, source.station.conductors), ()
    return conductors(source.bench)


def _facts(source: Source, cables: int) -> tuple[tuple[str, Text], ...]:
    control = source.design.spec.control
    kind = f"{control.conductors} conductors of {control.cable.text}"
    order = (
        f"colours in the order of {source.station.colours if source.station else ORDER}, the same at both ends"
        if control.conductors == COLOURED
        else "write your colours in"
    )
    length = Value(named("control", "length"), source.say.far(control.length))
    return (
        ("cable", (f"{cables if cables > 1 else 'one'} of {kind}, ", length)),
        ("colours", order),
        ("0V", f"{control.returns} conductors in parallel" if control.returns > 1 else "one conductor"),
        *(() if control.entry == "jack" else (("on the board", ON_BOARD),)),
        ("supply", (supply_of(source), f" at the source, {control.drive}")),
    )


def _table(source: Source, number: int, found: list[Conductor], cables: int) -> Table:
    columns = (
        Column("", "tick"), Column("No.", "number"), Column("Colour", narrow=True), Column("Pair", "number"),
        Column("Carries"), Column("Terminal", "code", narrow=True),
    )  # fmt: skip
    rows = [
        (
            f"cable {c.place.cable} conductor {c.place.position} measured", str(c.place.position),
            c.place.colour or "............", str(c.place.pair), c.carries, c.terminal,
        )
        for c in found
    ]  # fmt: skip
    title = f"Conductors of cable {number}" if cables > 1 else "Conductors"
    return Table(title, columns, rows)


def _voltages(source: Source) -> Group:
    """What stands at the far end; lines that read alike in one row."""
    bench = source.bench
    cable = CableBench(bench)
    found: dict[tuple[str, str], list[str]] = {}
    for strip in source.selectable:
        far = cable.far_end(strip)
        found.setdefault((f"{far.terminal_v:.1f} V", text(far.supply_a, "A")), []).append(strip.label)
    labels = [strip.label for strip in source.selectable]
    rows = [
        (
            "each select line" if names == labels and len(names) > 1 else f"select {', '.join(names)}",
            Value(several(*(named("cable", name, "terminal volts") for name in names)), volts),
            Value(several(*(named("cable", name, "current") for name in names)), amperes),
        )
        for (volts, amperes), names in found.items()
    ]
    columns = (Column("Line"), Column("At the board's terminal", "number"), Column("Current at the source", "number"))
    source_volts = Value(named("bench supply", "volts"), f"{bench_volts(bench):.1f} V")
    case = Words(("Computed for one antenna selected, feeds off, ", source_volts, " at the source, 20 degC."))
    return Group("What stands at the far end", (case, Table("", columns, rows, compact=True)))


def _fuse(source: Source) -> Group:
    choice = source.design.choices.choice("cable fuse", CABLE)
    part = source.design.choices.parts[choice.part]
    rows: tuple[tuple[str, Text], ...] = (
        ("fuse", Code(part.name)),
        ("place", "at the source end, within a hand's breadth of the supply's plus, before the switch"),
        ("why", ("it guards the cable: ", of_choice(choice, "next limit", choice.next_limit))),
    )
    return Group("Fuse at the source end", (Terms(rows),))


def supply_of(source: Source) -> Value:
    """The range of the supply at the far end of the cable."""
    supply = source.design.spec.control.supply
    words = f"{supply.low:g} V" if supply.low == supply.high else f"{supply.low:g} to {supply.high:g} V"
    return Value(named("control", "supply"), words)


def _at_off(source: Source) -> str:
    resting = [s.label for s in source.antennas if s.rest]
    return f"{resting[0]} is through" if resting else "every antenna idle"


def _selector(source: Source, found: tuple[Conductor, ...]) -> Group:
    low_side = source.design.request.low_side
    pole = "minus" if low_side else "fused plus"
    several = max((c.place.cable for c in found), default=1) > 1
    wires: dict[str, list[tuple[str, str]]] = {}
    for c in found:
        if c.line:
            colour = c.place.colour or f"no. {c.place.position}"
            wire = f"cable {c.place.cable} {colour}" if several else colour
            # a stage's line is named after the stage: its strip may have several
            name = c.line.net if c.line.kind == "stage" else c.line.strip or c.line.net
            wires.setdefault(c.line.kind, []).append((name, wire))
    selects, feeds = dict(wires.get("select", ())), wires.get("feed", [])
    positions = [(s.label, selects.get(s.label, "?")) for s in source.selectable]
    fuse = source.design.choices.choice("cable fuse", CABLE)
    rating = of_choice(fuse, "achieved", text(fuse.achieved, "A"))
    kind = "coil supply" if low_side else "0V"
    back = [wire for _, wire in wires.get(kind, [("", "?")])]
    common = f"{kind}: {', '.join(back[:2])}{' and more' if len(back) > 2 else ''}"
    picture = selector_picture(Selector(positions, feeds, common, rating, supply_of(source), low_side))
    ways = len(positions) + 1
    shows = f"The supply's {pole} goes to the pole of a rotary switch with {ways} positions: off, then each antenna."
    items: tuple[Text, ...] = (
        (
            f"{_switch(ways)}, break before make, rated 30 V and ",
            rating, " or more.",
        ),
        f"Position 1 is off: nothing energised, {_at_off(source)}.",
        *(FEEDS if feeds else ()),
        "Colours are those at the source end; they are the same at the box.",
    )  # fmt: skip
    lines = tuple(f"Position {n}: {label}, conductor {wire}" for n, (label, wire) in enumerate(positions, 2))
    toggles = tuple(f"Toggle: feed {label}, conductor {wire}" for label, wire in feeds)
    stages = tuple(
        f"{net}: a switch of its own from the supply's {pole}, conductor {wire}" for net, wire in wires.get("stage", ())
    )
    return Group(
        "A simple manual selector",
        (
            Picture(picture, shows, "Manual selector, seen from the wiring", 120.0),
            Items(items),
            Ticks((*lines, *toggles, *stages), across=True),
        ),
    )


def _switch(ways: int) -> str:
    """A rotary switch that can be bought."""
    if ways <= MOST_POSITIONS:
        return f"A rotary switch of one pole and {ways} positions"
    count = -(-(ways - 1) // (MOST_POSITIONS - 1))
    return (
        f"A rotary switch of one pole and {ways} positions is hardly sold: take {count} of {MOST_POSITIONS}, position "
        "1 of each off, and turn one at a time; the drawing shows them as one"
    )
