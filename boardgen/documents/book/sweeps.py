"""Measuring this board with a network analyser: which sweeps, how to connect, and what each should look like."""

from __future__ import annotations

from typing import Final

import numpy as np

from boardgen.documents.book.radio_tests import FED, band_edge, on_instrument
from boardgen.documents.book.source import Source
from boardgen.documents.counted import counted
from boardgen.documents.identity import at, named
from boardgen.documents.page.blocks import Block, Caution, Column, Group, Items, Picture, Section, Table, Words
from boardgen.documents.plots.sweeps import sweeps_svg
from boardgen.documents.text import Code, Text, Value, in_row
from boardgen.documents.verdicts import number
from boardgen.measuring.plan import Expected, expected, plan

POINTS: Final = 25
SEEN_DB: Final = 70.0
"""Isolation that an instrument of a builder still sees with care. Assumed."""
CONNECT: Final = (
    "Calibrate with open, short, load and through at the ends of the cables that will meet the board: what lies "
    "behind is taken off. Where pigtails stay between, solder the standards to pieces of coax as long, or take their "
    "length off afterwards: 30 mm of line turn a reflection by a degree at 10 MHz.",
    "Select the antenna over the control cable or with a bench supply, feeds off. An idle antenna is swept with its "
    "neighbour selected, so that its own relays rest.",
    "Put a resistor of the impedance of its coax on each port that is not swept: what is open there is seen elsewhere.",
    "The braids of both cables meet in the instrument, as they do not in use. Clamp a core onto one of them, and do "
    "not let plugs or pigtails touch metal.",
    "Sweep the band in a hundred points or more, at a millivolt to a tenth of a volt. For isolation narrow the filter "
    "of the instrument and average, and sweep once with a load on both cables: what is seen then is its own floor.",
)


def section(source: Source) -> Section:
    """The sweeps with their figures, how to connect, and plots of the first antenna's."""
    network, band = source.design.prediction.network, source.design.spec.band
    sweeps = plan(network, source.design.spec.switching.rest)
    edges = np.array([band.lowest, band.highest])
    found = {(one.sweep, one.to, one.source): one for one in expected(network, sweeps, edges)}
    first = tuple(sweep for sweep in sweeps if sweep.antenna == sweeps[0].antenna)
    points = np.geomspace(band.lowest, band.highest, POINTS)
    headings = [band_edge(band, edge) for edge in (band.lowest, band.highest)]
    columns = (
        Column("File (.s2p)"), *(Column(("Loss or isolation at ", edge)) for edge in headings),
        *(Column(("Return loss at the antenna at ", edge)) for edge in headings), Column("Right", "tick"),
    )  # fmt: skip
    rows = []
    for sweep in sweeps:
        through, reflected = (found[sweep, to, source_port] for to, source_port in sweep.entries[:2])
        cells = [_cell(one, n) for one in (through, reflected) for n in range(2)]
        rows.append((sweep.title, *cells, f"{sweep.title} measured"))
    of_each = ", two of each antenna, in the order in which they tell most" if len(network.antennas) > 1 else ""
    said = f"{counted(len(sweeps), 'sweep')}{of_each}"
    blocks: list[Block] = [Table(said, columns, rows)]
    if fed := [strip.label for strip in source.design.request.strips if strip.feed]:
        blocks.insert(0, Caution("danger", (FED.format(in_row(fed)),)))
    impedances = sorted({strip.impedance for strip in source.design.request.strips})
    unlike: list[Text] = [told for ohm in impedances if (told := on_instrument(ohm))]
    taken_off = "That is no fault of the board: boardgen measured takes it off, as long as the file has its 50 ohm."
    blocks.append(Group("How to connect", (Items((*CONNECT, *unlike, *([taken_off] if unlike else []))),)))
    shows = (
        "Small plots over frequency in MHz, in decibels, with more loss further down: the band that 95 of 100 built "
        "boards keep, and dashed what is predicted. What is beyond 90 dB lies at 90. The table has the figures at the "
        "band's edges."
    )
    caption = ("What the sweeps of ", sweeps[0].antenna, " should look like; the other antennas are much the same")
    blocks.append(Picture(sweeps_svg(tuple(expected(network, first, points))), shows, caption))
    run = (
        "Name the files as the table has them, and give them all to ", Code("boardgen measured"),
        " with the specification: it lays each over its band at the impedances of this board, and names the likeliest "
        "fault. What lies a little outside at single points is no fault: one board in twenty has some.",
    )  # fmt: skip
    blocks.append(Words(run))
    do = "With a network analyser of two ports these sweeps show nearly every fault that radio shows at all."
    return Section("sweeps", "Measuring this board", do, tuple(blocks))


def _cell(of: Expected, edge: int) -> Text:
    """The band of a loss; of what should be large, the least."""
    low, high = (float(ends[edge]) for ends in (of.low_db, of.high_db))
    what = "return loss" if of.is_reflection else "isolation" if of.sweep.idle else "loss"
    name = named("sweep", of.sweep.title, what, at(float(of.frequency_hz[edge])))
    if what == "loss":
        return Value(name, f"{low:.2f} to {number(high, 'dB')}")
    return Value(name, f"at least {number(min(low, SEEN_DB) if what == 'isolation' else low, 'dB')}")
