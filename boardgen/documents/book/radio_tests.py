"""Loss and isolation at the band's edges, with instruments that people own."""

from __future__ import annotations

from math import log10

from boardgen.documents.book.source import Source
from boardgen.documents.identity import at, named, wanted
from boardgen.documents.page.blocks import Block, Caution, Column, Group, Items, Table, Words
from boardgen.documents.response import loss_bound
from boardgen.documents.text import Text, Value, in_row
from boardgen.documents.verdicts import credible, number
from boardgen.rf.quantities import QUANTITIES
from boardgen.spec import quantity
from boardgen.spec.keys import Band
from boardgen.spec.strip import Strip

HOW = (
    "With a receiver: tune a steady signal from the source through the attenuator, cable to "
    "cable, and note the meter. Put "
    "the board between the cables and take attenuation out until the meter stands where it stood: what you took out is "
    "the loss. The meter itself need not be right.",
    "With a vector analyser: calibrate through the same cables and adapters, then put the board between them.",
    "For isolation, drive the idle port and listen at the output, with another antenna "
    "selected and its port ended in a "
    "resistor. Isolation beyond what your cables keep apart cannot be seen: measure first "
    "with the board taken out of the path.",
)
INSTRUMENT_OHM, SEEN = 50.0, 0.1
"""What instruments are made for, and from which reflection on a mismatch is told."""


FED = (
    "Feeds off and their lines taken off before you join anything to the coax of {}: direct voltage from the board "
    "destroys the input of an instrument."
)


def band_edge(band: Band, edge_hz: float) -> Value:
    """The band's lowest or highest frequency in words."""
    return Value(named("band", "lowest" if edge_hz == band.lowest else "highest"), quantity.format(edge_hz, "Hz"))


def groups(source: Source) -> list[Block]:
    """Expected loss and isolation of every antenna."""
    prediction = source.design.prediction
    band = source.design.spec.band
    edges = (band.lowest, band.highest)
    headings = [band_edge(band, edge) for edge in edges]
    rows = []
    for strip in source.antennas:
        losses = [predicted(source, "insertion loss", strip.label, strip.label, edge) for edge in edges]
        isolation = [_isolation(source, strip, edge) for edge in edges]
        rows.append((strip.label, *losses, *isolation, f"{strip.label} measured"))
    bound = loss_bound(prediction, edges[0])
    columns = (
        Column("Antenna"), *(Column(("Loss at ", edge), "number") for edge in headings),
        *(Column(("Isolation at ", edge), "number") for edge in headings), Column("Right", "tick"),
    )  # fmt: skip
    table = Table(
        "Predicted loss when selected, and isolation when idle with its worst neighbour selected", columns, rows
    )
    targets = dict(source.design.spec.targets)
    words = (
        "A loss may be off by ", Value(named("insertion loss", "bound", at(edges[0])), bound.strip()),
        " at ", headings[0], ", an isolation by 3 dB and more, since strays are assumed. More loss than ",
        Value(wanted("insertion loss"), number(targets["insertion_loss"].value, "dB")),
        " or less isolation than ",
        Value(wanted("isolation"), number(targets["isolation"].value, "dB")),
        ", the targets, calls for a look at the fault-finding table.",
    )  # fmt: skip
    blocks: list[Block] = [Items(HOW), table, Words(words)]
    blocks += [
        Words(
            (
                f"With {line} live beside an antenna's line, read ",
                Value(named("attenuation", "adds", line), f"{one.added_db:.2f} dB"),
                " more loss than without it, ",
                Value(
                    named("attenuation", "in built boards", line),
                    f"{one.added_low_db:.2f} to {one.added_high_db:.2f} dB",
                ),
                "; no more loss at all points to its relay or line, another figure to its resistors.",
            )
        )
        for one in prediction.attenuations
        for line in one.lines
        if len(one.lines) == 1
    ]
    resting = [s.label for s in source.antennas if s.rest]
    blocks += [Words(f"{label} is through with nothing selected: read its loss so.") for label in resting]
    if fed := [strip.label for strip in source.design.request.strips if strip.feed]:
        blocks.insert(0, Caution("danger", (FED.format(in_row(fed)),)))
    impedances = sorted({strip.impedance for strip in source.design.request.strips})
    blocks += [Words(told) for ohm in impedances if (told := on_instrument(ohm))]
    return [Group("Radio tests: loss and isolation", tuple(blocks))]


def on_instrument(ohm: float) -> Text:
    """What an instrument loses and shows at a port of that impedance; nothing where it hardly matters.

    Source: available power and return loss of a reflection between two resistances, any text on transmission lines.
    """
    reflection = abs(ohm - INSTRUMENT_OHM) / (ohm + INSTRUMENT_OHM)
    if reflection < SEEN:
        return ()
    words = f"{ohm:g} ohm"
    return (
        f"An instrument of {INSTRUMENT_OHM:g} ohm on a port of ", Value(named("mismatch", words, "port"), words),
        " sees a mismatch: it loses up to ",
        Value(named("mismatch", words, "loss"), number(-10 * log10(1 - reflection**2), "dB")),
        " more there and shows a return loss near ",
        Value(named("mismatch", words, "return loss"), f"{-20 * log10(reflection):.0f} dB"),
        f" at best (computed from the reflection of {reflection:.1g}). Use matching pads, or compare port with port.",
    )  # fmt: skip


def predicted(source: Source, quantity: str, selected: str, port: str, frequency_hz: float) -> Value:
    """A quantity at a port with an antenna selected, as it is predicted."""
    found = source.design.prediction.figure(quantity, selected, port, frequency_hz)
    name = named(quantity, port, "with", selected, at(frequency_hz))
    return Value(name, credible(quantity, found, QUANTITIES[quantity].unit))


def _isolation(source: Source, strip: Strip, edge_hz: float) -> Text:
    """With the neighbour selected that hears it most."""
    prediction = source.design.prediction
    found = [
        (prediction.figure("isolation", curve.selected, curve.port, edge_hz), curve.selected)
        for curve in prediction.response.of("isolation")
        if curve.port == strip.label
    ]
    return predicted(source, "isolation", min(found)[1], strip.label, edge_hz) if found else ""
