"""First section: what the board is, which targets it meets, and what falls short."""

from __future__ import annotations

from boardgen.documents.book.source import Source
from boardgen.documents.book.verify import ruinous
from boardgen.documents.build_summary import feeder_in_short
from boardgen.documents.counted import counted
from boardgen.documents.highlights import highlights
from boardgen.documents.identity import named, of_judged, told, wanted
from boardgen.documents.page.blocks import Block, Caution, Column, Group, Section, Table, Terms, Words
from boardgen.documents.text import Text, Value, in_row
from boardgen.documents.verdicts import figure_and_bound, not_judged, number, state
from boardgen.model.problem import shortfalls, warnings
from boardgen.rf.verdict import Verdict
from boardgen.spec import quantity

DANGERS = (
    "Receive only: never transmit into this board. Lightning, mains, earthing and digging can kill: read the dangers "
    "in the last chapter before you carry anything outdoors.",
    "Fumes of solder and of burning enamel, and flying leads: fresh air and eye protection.",
)
FEEDS = (
    "Direct voltage stands on the coax of {}: never join one to a transceiver or an instrument without a blocking "
    "capacitor."
)


def section(source: Source) -> Section:
    """What the board is, which targets it meets, what to buy, and what to verify first."""
    design = source.design
    fed = [strip.label for strip in design.request.strips if strip.feed]
    dangers = (*DANGERS, FEEDS.format(in_row(fed))) if fed else DANGERS
    blocks: list[Block] = [Caution("danger", dangers), Words(_verdict(source)), _targets(source)]
    if short := shortfalls(design.problems):
        blocks.append(Caution("caution", tuple(("Falls short: ", one) for one in told(short))))
    if known := warnings(design.problems):
        blocks.append(Caution("note", told(known)))
    blocks += [Group("The board", (Terms(_board(source)),)), Group("What to buy", _to_buy(source))]
    do = "Read the verdict, verify what can ruin the board, order, and then work down the chapters."
    return Section("summary", "Summary", do, tuple(blocks))


def _verdict(source: Source) -> str:
    """All targets in a sentence."""
    judged = [one for one in source.design.prediction.verdicts if one.judged.achieved is not None]
    by_state: dict[str, list[str]] = {}
    for one in judged:
        by_state.setdefault(one.state, []).append(one.judged.target.replace("_", " "))
    if set(by_state) <= {"met"}:
        return f"All {counted(len(judged), 'target')} that can be judged are met, as predicted for this board."
    told = "; ".join(f"{words}: {', '.join(names)}" for words, names in by_state.items())
    return f"Of {counted(len(judged), 'target')}, as predicted for this board: {told}."


def _board(source: Source) -> tuple[tuple[str, Text], ...]:
    """What it is, and the values that a practitioner asks for first."""
    design = source.design
    band, made = design.spec.band, design.layout
    edges = (
        Value(named("band", "lowest"), quantity.format(band.lowest, "Hz")), " to ",
        Value(named("band", "highest"), quantity.format(band.highest, "Hz")), ", ",
        Value(named("band", "impedance"), f"{band.impedance:g} ohm"),
    )  # fmt: skip
    parts = sum(component.fitted for component in design.netlist.components)
    size = "not laid out" if made is None else source.board_size(made.board)
    return (
        (
            "board",
            (f"{counted(len(source.antennas), 'antenna')} to one output, ", *edges, "; ", size, f", {parts} parts"),
        ),
        *highlights(design),
        *([("feeder", Value(named("feeder", "in short"), feeder_in_short(design)))] if design.prediction.path else []),
    )


def _to_buy(source: Source) -> tuple[Block, ...]:
    """Where the orders lie, what they cost, and what to verify before."""
    bill = source.design.bill
    total: tuple[str | Value, ...] = (
        Value(named("order", "total"), f"{bill.order_total} {bill.currency}"),
        f" for {counted(bill.boards, 'board')}",
    )
    priced = total
    if len(bill.unpriced) == len(bill.lines):
        priced = ("none has a price: give a price file with --prices",)
    elif bill.unpriced:
        priced = (f"{counted(len(bill.unpriced), 'line')} of {len(bill.lines)} without a price; the others ", *total)
    where = f"{counted(len(bill.lines), 'line')}: order from bill.xlsx, sheet Order; "
    rows: list[tuple[str, Text]] = [("parts", (where, *priced))]
    if source.design.layout is not None:
        rows.append(("bare board", "send the archive in the folder fabrication, after reading the fabrication note"))
    return (Terms(tuple(rows)), *ruinous(source))


def _targets(source: Source) -> Table:
    rows: list[tuple[Text, ...]] = []
    for verdict in source.design.prediction.verdicts:
        name = verdict.judged.target.replace("_", " ")
        asked = Value(wanted(name), number(verdict.judged.wanted, verdict.judged.unit))
        rows.append((name, Value(named("target", name, "state"), state(verdict)), _predicted(verdict), asked))
    columns = (
        Column("Target", narrow=True), Column("State", narrow=True), Column("Predicted, at its worst, and its bound"),
        Column("Wanted", narrow=True),
    )  # fmt: skip
    return Table("Targets; the appendix says what each rests on and what limits it", columns, rows)


def _predicted(verdict: Verdict) -> Text:
    judged, bound = verdict.judged, verdict.bound
    if judged.at_hz is None or bound is None:
        return not_judged(judged)
    figure, span = figure_and_bound(judged.quantity, bound, judged.unit)
    name = judged.target.replace("_", " ")
    found: tuple[str | Value, ...] = (Value(of_judged(judged), figure),)
    if span:
        found = (*found, " (", Value(named("target", name, "bound"), span), ")")
    port = f", port {judged.port}" if judged.port != judged.selected else ""
    frequency = Value(named("target", name, "worst at"), quantity.format(judged.at_hz, "Hz", 4))
    return (*found, " at ", frequency, f" with {judged.selected} {judged.way}{port}")
