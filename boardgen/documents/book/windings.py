"""How each core is wound, counted, marked and measured."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Literal

from boardgen.circuit.windings import WindingRow, start_marks, winding_rows
from boardgen.commissioning.winding_test import BridgeReading, bridge_readings
from boardgen.documents.book.source import STANDINGS, Source, listed
from boardgen.documents.book.winding_picture import winding_picture
from boardgen.documents.counted import counted
from boardgen.documents.identity import named, of_refs
from boardgen.documents.page.blocks import Block, Column, Group, Items, Picture, Section, Table, Terms, Words
from boardgen.documents.text import Code, Text, Value
from boardgen.documents.values import text
from boardgen.model.netlist import Component
from boardgen.model.transformer import LEADS, PRIMARY, SECONDARY, Lead
from boardgen.spec import quantity

REVERSED_WORDS = (
    "With one winding reversed loss stays as it is, and common mode passes: no test of the finished board tells it. "
    "Measure both windings in series before you solder."
)
COUNTING = (
    "Pass the wire through one hole and back through the other: that is one turn.",
    "Count on the face that the leads do not leave from: as many bends as turns.",
    "A wire that only goes through one hole is half a turn, and makes the winding useless here.",
)
DOING = (
    "Cut the wire to length, with the leads already counted in.",
    "Sleeve or smooth the edges of the holes: some ferrites conduct, and sharp edges scrape enamel.",
    "Wind both windings as the group of their core says, and compare with its picture before you go on.",
    "Scrape the enamel off the last 5 mm of each lead, or burn it off, and tin it. Its fumes are poisonous: outdoors "
    "or under extraction, never over the bench.",
    "Mark the start of each winding with a knot, tape or a dot of paint before the core leaves your hand.",
    "Measure with a bridge what the table of the core lists, both windings in series among it, then that no meter "
    "reading is between the two windings, nor from a winding to the core.",
)


def section(source: Source) -> Section:
    """A group for each kind of core, each core with its own line to tick."""
    design = source.design
    rows = winding_rows(design.netlist, design.choices, design.catalogue.permeability)
    if not rows:
        words = "Nothing is wound for this board: no port has a braid breaker."
        return Section("windings", "Winding sheet", "Nothing to do here.", (Words(words),))
    blocks: list[Block] = [
        Items(tuple(f"{step}" for step in DOING), numbered=True),
        Group("How to count a turn", (Items(COUNTING),)),
        Group("Start marks", (Words(f"{start_marks()}. {REVERSED_WORDS}"),)),
        *(_kind(source, row) for row in rows),
    ]
    do = "Wind every core to its line, measure it, and tick it, before anything is soldered."
    return Section("windings", "Winding sheet", do, tuple(blocks))


def _kind(source: Source, row: WindingRow) -> Group:
    component = source.design.netlist.component[row.refs[0]]
    wire = source.design.choices.part("winding wire", component.subject)
    wound = source.design.choices.windings[component.subject]
    readings = bridge_readings(source.design.request, source.design.choices, component)
    port, board = row.primary_turns, row.secondary_turns
    terms: list[tuple[str, Text]] = [
        ("core", Code(row.core)),
        ("wire", (f"{row.wire}; ", Value(named(wire.name, "value"), wire.value), " bare")),
        ("port winding", _winding(source, row, "port")),
        ("board winding", _winding(source, row, "board")),
        ("to the board", _pads(component.part.pins)),
        ("on the board", "P stands at the port winding's pads, S at the board winding's, a dot at each start"),
    ]
    if spare := _spare_pads(source, component):
        terms.append(
            (
                "pads left empty",
                f"{', '.join(spare)}: in the middle of each side, for taps, which this board does not use",
            )
        )
    if wound.compensated:
        terms.append(("leakage", "a capacitor across the line at each end meets it: wind no other way than is drawn"))
    how = _apart() if wound.style == "apart" else _pair(port, board)
    shows = (
        f"The core from above with both windings on it, and its holes seen from the port's face. {start_marks()}. "
        f"{' '.join(how)}"
    )
    caption = "Drawn side by side for clearness" if wound.style == "apart" else "Drawn side by side; they touch"
    picture = Picture(winding_picture(port, board, wound.style), shows, caption, 100.0)
    ticks = Table(
        "Wound and measured",
        (
            Column("Core", "code"), Column("For"), Column("Wound", "tick"), Column("Starts marked", "tick"),
            Column("Measured", "tick"), Column("In series", "tick"), Column("No path between windings", "tick"),
            Column("Leakage", "reading"), Column("Capacitance", "reading"),
        ),
        [
            (
                ref, strip, f"{ref} wound", f"{ref} starts marked", f"{ref} measured", f"{ref} in series",
                f"{ref} windings apart", f"{ref} leakage", f"{ref} capacitance",
            )
            for ref, strip in zip(row.refs, row.strips, strict=True)
        ],
    )  # fmt: skip
    note = (
        "A quarter of the least inductance means half the turns; one near zero a winding shorted to itself or to the "
        "core. Leads are left out of leakage: short them close to the core. Leakage decides the top of the band, the "
        "capacitance decides common mode: write both down, for outside their range the prediction does not hold."
    )
    # what is typed is kept letter for letter
    entered = (
        "Write what you read into the specification, under ", Code("[measured.transformer]"), ", and ",
        Code(f'core = "{component.part.key}"'), " under ", Code("[parts]"),
        ": the board is then worked out anew with it. Of several cores write the range, such as ",
        Code('"290..330 nH"'), ".",
    )  # fmt: skip
    keys = [("turns", f'"{port}:{board}"'), ("style", f'"{wound.style}"')]
    keys += [(one.key, one.name) for one in readings if one.key]
    entries = Table("", (Column("Key", "code", narrow=True), Column("What to write")), keys, compact=True)
    inner = (
        Terms(tuple(terms)), Items(how, numbered=True), picture, _measure(readings, component, row), Words(note),
        Words(entered), entries, ticks,
    )  # fmt: skip
    return Group(f"{listed(row.refs)}: {component.part.number}, {port}:{board} turns", inner)


def _winding(source: Source, row: WindingRow, side: Literal["port", "board"]) -> Text:
    """Turns and wire of one winding."""
    turns, metres = {
        "port": (row.primary_turns, row.primary_length_m), "board": (row.secondary_turns, row.secondary_length_m),
    }[side]  # fmt: skip
    cut = Value(of_refs(row.refs, f"{side} winding", "wire"), source.say.length(metres, 0))
    return (Value(of_refs(row.refs, f"{side} turns"), f"{turns} turns"), ", ", cut, " of wire with its leads")


def _apart() -> tuple[str, ...]:
    """How windings that lie apart are wound."""
    (p1, p2), (s1, s2) = _ways()
    return (
        f"Port winding, in the lower half of both holes, next to the board: {p1}, and on until it leaves {p2}.",
        f"Board winding, in the upper half, kept off the port winding: {s1}, and on until it leaves {s2}.",
    )


def _pair(port_turns: int, board_turns: int) -> tuple[str, ...]:
    """How a pair is wound so that each winding leaves at its own face; a pass is once through a hole."""
    (p1, p2), (s1, s2) = _ways()
    last, board_last = 2 * port_turns, 2 * board_turns + 1
    together = counted(min(last, board_last) - 1, "pass", "passes")
    alone = counted(abs(board_last - last), "pass", "passes")
    first, later = ("port", "board") if last < board_last else ("board", "port")
    leaves, goes_on = (p2, s2) if first == "port" else (s2, p2)
    return (
        f"Pass the port wire once alone: {p1}.",
        f"Lay the board wire beside it where it comes out: {s1}. Keep both touching, lightly twisted, for {together}.",
        f"The {first} wire then leaves {leaves}; the {later} wire goes on alone for {alone} and leaves {goes_on}.",
    )


def _ways() -> tuple[tuple[str, str], tuple[str, str]]:
    """Start and end of the port's and of the board's winding, in words."""
    (p1, p2), (s1, s2) = ([LEADS[role] for role in roles] for roles in (PRIMARY, SECONDARY))

    def enters(pad: str, at: Lead) -> str:
        return f"from {pad} into hole {at.hole} at the {at.face}'s face"

    def leaves(pad: str, at: Lead) -> str:
        return f"hole {at.hole} at the {at.face}'s face to {pad}"

    return (enters("P1", p1), leaves("P2", p2)), (enters("S1", s1), leaves("S2", s2))


def _measure(readings: Sequence[BridgeReading], component: Component, row: WindingRow) -> Table:
    """What a bridge shows, and what it shows where one winding is reversed."""
    rows = []
    for one in readings:
        figure = one.figure
        number = [
            Value(bridge_name(row.refs, one, end), text(value, figure.unit))
            for end, value in (("least", figure.least), ("middle", figure.value), ("most", figure.most))
        ]
        wrong: Text = ""
        if one.mistake:
            found = Value(bridge_name(row.refs, one, "mistake"), text(one.mistake[1], figure.unit))
            wrong = ("about ", found, f": {one.mistake[0]}")
        where = _connected(one, component.part.pins)
        reads = f"{one.name}, {one.connection} reading" if one.connection else one.name
        at = Value(bridge_name(row.refs, one, "frequency"), quantity.format(one.at_hz, "Hz"))
        rows.append((reads, where, at, *number, wrong or STANDINGS[figure.standing]))
    columns = (
        Column("Measure"), Column("Bridge at"), Column("Frequency", "number"), Column("Least", "number"),
        Column("Middle", "number"), Column("Most", "number"), Column("Otherwise, or standing"),
    )  # fmt: skip
    return Table("What a bridge shows before the core is soldered in", columns, rows)


def bridge_name(refs: Iterable[str], one: BridgeReading, end: str) -> str:
    """The name of a reading of a wound core before it is soldered in."""
    return of_refs(refs, one.name, one.connection, end)


def _connected(one: BridgeReading, pins: Mapping[str, str]) -> str:
    if one.tips is None:
        return "both readings"
    joined = "".join(f", {pins[a]} joined to {pins[b]}" for a, b in one.joined)
    return f"{pins[one.tips[0]]} and {pins[one.tips[1]]}{joined}"


def _spare_pads(source: Source, component: Component) -> list[str]:
    """Pads of that core that no winding uses."""
    footprint = source.design.request.catalogue.footprints[component.part.footprint]
    return [pad.number for pad in footprint.pads if pad.number not in component.part.pins.values()]


def _pads(names: Mapping[str, str]) -> str:
    return ", ".join(
        f"{word} to {names[role]}"
        for word, role in (
            ("start of the port winding", "primary start"), ("its end", "primary end"),
            ("start of the board winding", "secondary start"), ("its end", "secondary end"),
        )
        if role in names
    )  # fmt: skip
