"""How each core is wound, counted, marked and measured."""

from __future__ import annotations

from collections.abc import Mapping

from boardgen.circuit.windings import START_MARKS, WindingRow, winding_rows
from boardgen.documents.book.source import STANDINGS, Source, listed
from boardgen.documents.book.winding_picture import winding_picture
from boardgen.documents.page.blocks import Block, Column, Group, Items, Picture, Section, Table, Terms, Words
from boardgen.documents.values import text
from boardgen.model.figure import Figure
from boardgen.spec import quantity

TEST_HZ = 10e3
"""Hand-held bridges measure here, and permeability is still what it is at low frequency: common practice, no source."""
COUNTING = (
    "Pass the wire through one hole and back through the other: that is one turn.",
    "Count on the face that the leads do not leave from: as many bends as turns.",
    "A wire that only goes through one hole is half a turn, and makes the winding useless here.",
)
DOING = (
    "Cut the wire to length, with the leads already counted in.",
    "Sleeve or smooth the edges of the holes: some ferrites conduct, and sharp edges scrape enamel.",
    "Wind the port winding first, then the board winding from the opposite face.",
    "Scrape or burn the enamel off the last 5 mm of each lead and tin it.",
    "Mark the start of each winding with a knot, tape or a dot of paint before the core leaves your hand.",
    "Measure inductance, then that no meter reading is between the two windings, nor from a winding to the core.",
)


def section(source: Source) -> Section:
    """A group for each kind of core, each core with its own line to tick."""
    design = source.design
    rows = winding_rows(design.netlist, design.choices)
    if not rows:
        words = "Nothing is wound for this board: no port has a braid breaker."
        return Section("windings", "Winding sheet", "Nothing to do here.", (Words(words),))
    blocks: list[Block] = [
        Items(tuple(f"{step}" for step in DOING), numbered=True),
        Group("How to count a turn", (Items(COUNTING),)),
        Group("Start marks", (Words(f"{START_MARKS[0].upper()}{START_MARKS[1:]}."),)),
        *(_kind(source, row) for row in rows),
    ]
    do = "Wind every core to its line, measure it, and tick it, before anything is soldered."
    return Section("windings", "Winding sheet", do, tuple(blocks))


def _kind(source: Source, row: WindingRow) -> Group:
    component = source.design.netlist.component[row.refs[0]]
    wire = source.design.choices.part("winding wire", component.subject)
    port, board = row.primary_turns, row.secondary_turns
    pads = component.part.pins
    factor = component.part.figure("inductance factor")
    terms = (
        ("core", row.core),
        ("wire", f"{row.wire}; {wire.value} bare"),
        ("port winding", f"{port} turns, {source.say.length(row.primary_length_m, 0)} of wire with its leads"),
        ("board winding", f"{board} turns, {source.say.length(row.secondary_length_m, 0)} of wire with its leads"),
        ("to the board", _pads(pads)),
    )
    measure = Table(
        f"Expected inductance at {text(TEST_HZ, 'Hz')}, the other winding open",
        (
            Column("Winding"),
            Column("Least", "number"),
            Column("Middle", "number"),
            Column("Most", "number"),
            Column("Standing"),
        ),
        [("port winding", *_inductance(factor, port)), ("board winding", *_inductance(factor, board))]
        if factor
        else [],
    )
    ticks = Table(
        "Wound and measured",
        (
            Column("Core", "code"), Column("For"), Column("Wound", "tick"), Column("Starts marked", "tick"),
            Column("Measured", "tick"), Column("No path between windings", "tick"),
        ),
        [
            (ref, strip, f"{ref} wound", f"{ref} starts marked", f"{ref} measured", f"{ref} windings apart")
            for ref, strip in zip(row.refs, row.strips, strict=True)
        ],
    )  # fmt: skip
    shows = (
        f"The core from above, each winding alone. The port winding of {port} turns starts and "
        "ends on the left face, the "
        f"board winding of {board} turns on the right face; both starts are in hole 1, both ends in hole 2."
    )
    picture = Picture(winding_picture(port, board), shows, "Each winding alone; wind both on one core", wide=True)
    low = quantity.format(source.design.spec.band.lowest, "Hz")
    note = (
        f"At {low} the lowest core gives {text(row.inductance_h, 'H')} on the port winding "
        "(computed). A reading near a "
        "quarter of the table's means half the turns; one near zero means a winding shorted to itself or to the core."
    )
    inner = (Terms(terms), picture, *((measure,) if factor else ()), Words(note), ticks)
    return Group(f"{listed(row.refs)}: {component.part.number}, {port}:{board} turns", inner)


def _pads(names: Mapping[str, str]) -> str:
    return ", ".join(
        f"{word} to {names[role]}"
        for word, role in (
            ("start of the port winding", "primary start"), ("its end", "primary end"),
            ("start of the board winding", "secondary start"), ("its end", "secondary end"),
        )
        if role in names
    )  # fmt: skip


def _inductance(factor: Figure, turns: int) -> tuple[str, str, str, str]:
    """Least, middle and most; where a maker gives no most, as far above the middle as the least is below it."""
    most = factor.high if factor.high is not None else 2 * factor.value - factor.least
    least, middle, high = (text(value * turns**2, "H") for value in (factor.least, factor.value, most))
    standing = STANDINGS[factor.standing]
    return least, middle, high, standing if factor.high is not None else f"{standing}; most assumed"
