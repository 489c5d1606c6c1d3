"""The commissioning sheet: what every test must read."""

from __future__ import annotations

from boardgen.commissioning.readings import OPEN_OHM, Reading
from boardgen.commissioning.strip_readings import StripReadings
from boardgen.commissioning.supplies import PoweredTest, bench_volts
from boardgen.documents.book import radio_tests
from boardgen.documents.book.meter_picture import meter_picture, touched
from boardgen.documents.book.source import Source
from boardgen.documents.identity import named
from boardgen.documents.page.blocks import Block, Column, Group, Items, Picture, Section, Table, Ticks, Words
from boardgen.documents.readings_words import expected, span, worked
from boardgen.documents.text import Text, Value, in_row
from boardgen.model.copper import Board
from boardgen.spec import quantity
from boardgen.spec.strip import Strip

STANDING = (
    "Computed from the netlist with the tolerances of the parts; contact and joint "
    "resistance, the spread of windings and "
    "the least of a choke are assumed. Subtract what your meter reads with its tips together. "
    "A capacitor makes a reading "
    "climb: wait. Read with the meter on ohms, not on diode test. Where a tip is named red, a diode lies in the way: "
    "the reading hangs on the meter: its range is that of meters with 0.3 V, 10 kohm to 2.8 V, 3 kohm (assumed). "
    "If another reading is low where a diode lies across it, turn the tips round."
)


def section(source: Source) -> Section:
    """Resistances, supply, feeds, radio."""
    blocks: list[Block] = [_needed(source)]
    blocks.append(Group("First, without power", (Ticks(BEFORE), Words(STANDING))))
    blocks += _points(source)
    several = len(source.tests) > 1
    for test, strips in source.tests:
        blocks.append(_resistances(source, test, strips, several))
    blocks.append(_board(source, [test for test, _ in source.tests]))
    for test, strips in source.tests:
        blocks += _power(source, test, strips, several)
    blocks += _power(
        source, StripReadings(source.bench, source.design.request.output), (source.design.request.output,), True
    )
    blocks += radio_tests.groups(source)
    do = (
        "Make the tests in this order and write down what differs; never go on past a wrong reading: the appendix "
        "says where to look."
    )
    return Section("commissioning", "Commissioning sheet", do, tuple(blocks))


BEFORE = (
    "Every part is in its place and ticked; no solder bridges, no cut leads loose on the board.",
    "Nothing is joined to the board: no supply, no cable, no coax.",
)


def _needed(source: Source) -> Group:
    volts = bench_volts(source.bench)
    things: tuple[Text, ...] = (
        "a multimeter with ranges for ohms, volts and milliamperes",
        (
            "a bench supply at ", Value(named("bench supply", "volts"), f"{volts:.1f} V"),
            ", current limit at 200 mA; or a battery with a 200 mA fuse",
        ),
        "two resistors of the impedance of the coax, to end ports with",
        *(("a resistor of ", _load(test), " or more, for the feed of ", test.port) for test in _loaded(source)),
        "for the radio tests, one of: a vector analyser; a signal source with a step attenuator and a receiver; and "
        "adapters to its connectors",
    )  # fmt: skip
    return Group("What you need", (Items(things),))


def _loaded(source: Source) -> list[PoweredTest]:
    """Tests of a feed with a resistor at its port, one of each load."""
    tests = [*(test for test, _ in source.tests), StripReadings(source.bench, source.design.request.output)]
    powered = (one for test in tests for one in test.powered if one.line is None and one.load_ohm < OPEN_OHM)
    return list({one.load_ohm: one for one in powered}.values())


def _points(source: Source) -> list[Block]:
    """Where the tips go, on the side where the solder is; nothing without a layout."""
    made = source.design.layout
    if made is None:
        return []
    parts = [part for part in source.design.netlist.components if touched(part)]
    shows = (
        "The board turned over from left to right, seen from the solder side: pins of relays, terminals and ports by "
        "their numbers; c is a port's centre, b its braid."
    )
    picture = Picture(meter_picture(made.board, parts, shows), shows, "c centre, b braid", _paper_mm(made.board))
    return [Group("Where the tips go, seen from the solder side", (picture,))]


def _paper_mm(board: Board) -> float:
    """Its width in print: the board half as large again, but no higher than half a page."""
    return min(170.0, 1.5 * board.width_nm / 1e6, 125.0 * board.width_nm / board.height_nm)


THROUGH = (
    "This port is through to the output while nothing is selected: it has no relay of its own and no line. The "
    "contacts that lead it through are read with the ports that have relays, as normally closed."
)


def _resistances(source: Source, test: StripReadings, strips: tuple[Strip, ...], several: bool) -> Group:
    """Every point of the first antenna of its kind, then where the others of the kind are read."""
    label = test.strip.label
    own = [p for p in test.probes if p.strip == label]
    blocks: list[Block]
    idle = {r.where: r for r in test.ohms[test.at_rest]}
    if test.strip.rest:
        rest_rows = [(p.where, p.name, _cell(idle[p.where])) for p in own]
        rest_columns = (Column("Between"), Column("What"), Column("Nothing selected"))
        blocks = [Table(f"Expected resistance, {label}", rest_columns, rest_rows), _ticks(source, strips)]
        return Group(f"Resistances: {label}", (*blocks, Words(THROUGH)))
    states = [state for state in test.states if state.operated]
    live = [{r.where: r for r in test.ohms[state]} for state in states]
    rows = [
        (
            p.where, p.name, _cell(idle[p.where]),
            *(_cell(read.get(p.where)) or ("do not read: live" if p.live else "") for read in live),
        )
        for p in own
    ]  # fmt: skip
    columns = (
        Column("Between"), Column("What"), Column("Nothing selected"), *(Column(worked(state)) for state in states),
    )  # fmt: skip
    blocks = [Table(f"Expected resistance, {label}", columns, rows), _ticks(source, strips)]
    for_whom = in_row(s.label for s in strips) if several else "every antenna"
    later = "last column" if len(states) == 1 else f"last {len(states)} columns"
    words = (
        f"Read the {later} later, while the bench supply holds the relay in. With another antenna selected the "
        "readings are those of nothing selected."
    )
    return Group(f"Resistances: {for_whom}", (*blocks, Words(words)))


def _cell(reading: Reading | None) -> Text:
    if reading is None:
        return ""
    found = span(reading)
    return (expected(reading), " (", found, ")") if found else expected(reading)


def _ticks(source: Source, strips: tuple[Strip, ...]) -> Table:
    """The same points on each antenna, with boxes."""
    bench = source.bench
    rows = []
    for strip in strips:
        line = bench.pin_of(f"select {strip.name}", strip.label)
        rows.append(
            (
                strip.label, source.ports[strip.label], ", ".join(bench.relays.get(strip.label, ())),
                f"{line[0]} pin {line[1]}" if line else "", f"{strip.label}, nothing selected, right",
                f"{strip.label}, selected, right",
            )
        )  # fmt: skip
    columns = (
        Column("Antenna"), Column("Port", "code"), Column("Relay", "code"), Column("Select line", "code"),
        Column("Idle right", "tick"), Column("Selected right", "tick"),
    )  # fmt: skip
    if all(strip.rest for strip in strips):
        rest_columns = (columns[0], columns[1], Column("Right", "tick"))
        return Table("The same points", rest_columns, [(row[0], row[1], row[4]) for row in rows])
    return Table("The same points of each antenna", columns, rows)


def _board(source: Source, tests: list[StripReadings]) -> Group:
    """What no antenna has to itself."""
    test = next((t for t in tests if not t.strip.rest), tests[0])
    states = [state for state in test.states if state.operated]
    live = [{r.where: r for r in test.ohms[state]} for state in states]
    rows = [
        (f"{r.where} right", r.where, r.name, _cell(r), *(_cell(read.get(r.where)) for read in live))
        for r, p in zip(test.ohms[test.at_rest], test.probes, strict=True)
        if not p.strip
    ]
    columns = (
        Column("", "tick"), Column("Between"), Column("What"), Column("Nothing selected"),
        *(Column(worked(state)) for state in states),
    )  # fmt: skip
    return Group(
        "Resistances of the board itself", (Table("Expected resistance, output and common lines", columns, rows),)
    )


def _power(source: Source, test: StripReadings, strips: tuple[Strip, ...], several: bool) -> list[Block]:
    """The supply on the select line, then on the feed."""
    found: list[Block] = []
    for powered, readings in zip(test.powered, test.volts, strict=True):
        whom = in_row(s.label for s in strips) if several else "every antenna in turn"
        title = f"Supply on the {powered.live}: {whom}"
        rows = [(r.name, r.where, expected(r), span(r) or "", f"{test.strip.label}, {r.name}, read") for r in readings]
        columns = (
            Column("What"), Column("Where"), Column("Expected", narrow=True), Column("Range", narrow=True),
            Column("Read", "reading"),
        )  # fmt: skip
        blocks: list[Block] = [Words(_joining(powered)), Table(f"Expected, {test.strip.label}", columns, rows)]
        blocks.append(Ticks(tuple(f"{s.label} right" for s in strips), across=True))
        found.append(Group(title, tuple(blocks)))
    return found


def _joining(powered: PoweredTest) -> Text:
    which = ("bench supply",) if powered.line else ("bench supply", powered.live, powered.plus)
    words: tuple[str | Value, ...] = (
        "Join ", Value(named(*which, "volts"), f"{powered.volt:.1f} V"), f": {powered.joined}. Current limit ",
        Value(named(*which, "limit"), quantity.format(powered.limit_a, "A", 3)), ".",
    )  # fmt: skip
    if powered.line is not None:
        column = "the selected antenna" if powered.line.selects else "that line"
        return (*words, f" The relay clicks. Leave it pulled in and read the column of {column}.")
    if powered.load_ohm < OPEN_OHM and powered.port:
        load = _load(powered)
        return (*words, " Put a resistor of ", load, f" or more, from {powered.port} centre to its braid.")
    return words


def _load(powered: PoweredTest) -> Value:
    """The resistor at a fed port, with what it must stand."""
    watts = powered.volt**2 / powered.load_ohm
    words = f"{quantity.format(powered.load_ohm, 'ohm', 3)}, {watts:.1f} W"
    return Value(named("bench load", powered.port), words)
