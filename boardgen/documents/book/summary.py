"""First section: what the board is, which targets it meets, and what falls short."""

from __future__ import annotations

from boardgen.documents.book.source import Source
from boardgen.documents.build_summary import lines
from boardgen.documents.page.blocks import Block, Caution, Column, Group, Section, Table, Terms, Words
from boardgen.documents.verdicts import figure, number, rests_on, state
from boardgen.model.problem import shortfalls, warnings
from boardgen.rf.target_report import limiting
from boardgen.rf.verdict import Verdict
from boardgen.spec import quantity

DANGERS = (
    "This board is for receiving. Never transmit into it, and release all relays while a transmitter nearby is on the "
    "air: see Installation.",
    "Long antennas and buried cables bring lightning to the box and to the house. Earthing and lightning protection "
    "follow your local code; where it asks for a licensed person, leave them to one.",
    "Nothing on this board may be joined to the mains. Use a supply with safety isolation made for the purpose.",
)
STANDINGS = (
    ("predicted", "worked out for this board from its netlist; a model, not a measurement"),
    ("computed", "arithmetic from other figures, as weak as the weakest of them"),
    ("from a sheet", "read in a maker's sheet, a standard or another source named beside it"),
    ("recalled", "remembered, not read: verify it before it costs you money"),
    ("assumed", "a reasonable guess where nobody says: verify it, or measure it"),
    ("measured", "your own measurement, named in the specification"),
)


def section(source: Source) -> Section:
    """Summary, targets, shortfalls, the meaning of the standings."""
    design = source.design
    blocks: list[Block] = [Caution("danger", DANGERS), Terms(_kept(source)), _targets(source)]
    short = shortfalls(design.problems)
    known = warnings(design.problems)
    if short:
        blocks.append(Caution("caution", tuple(f"Falls short: {p.place}: {p.sentence}" for p in short)))
    if known:
        blocks.append(Caution("note", tuple(f"{p.place}: {p.sentence}" for p in known)))
    blocks.append(
        Group("How far to trust a figure", (Words("Every figure in this book says how it is known."), Terms(STANDINGS)))
    )
    do = "Read which targets are met, then verify the parts, order, build, test, and only then dig."
    return Section("summary", "Summary", do, tuple(blocks))


def _kept(source: Source) -> tuple[tuple[str, str], ...]:
    """The lines of the build's own summary, but for those that have a table or a section here."""
    design = source.design
    judged = {j.target.replace("_", " ") for j in design.prediction.judged}
    found = [(name, words) for name, words in lines(design) if name not in judged | {"verify", "size"}]
    band = design.spec.band
    edges = f"{quantity.format(band.lowest, 'Hz')} to {quantity.format(band.highest, 'Hz')}, {band.impedance:g} ohm"
    made = design.layout
    size = (
        "not laid out" if made is None else source.say.size((made.board.width_nm * 1e-9, made.board.height_nm * 1e-9))
    )
    return (*found[:1], ("band", edges), ("size", size), *found[1:])


def _targets(source: Source) -> Table:
    prediction = source.design.prediction
    limits = {one.judged.target: one for one in prediction.limits}
    rows = []
    for verdict in prediction.verdicts:
        judged = verdict.judged
        limit = limits.get(judged.target)
        why = limiting(limit, prediction.netlist) if limit and limit.influences else ""
        rests = rests_on(prediction, verdict)
        figures = (_predicted(verdict), number(judged.wanted, judged.unit), "; ".join(filter(None, (rests, why))))
        rows.append((state(verdict), judged.target.replace("_", " "), *figures))
    columns = (
        Column("State"), Column("Target", narrow=True), Column("Predicted, at its worst, and its bound"),
        Column("Wanted", narrow=True), Column("What it rests on, what limits it"),
    )  # fmt: skip
    return Table("Targets, all figures predicted", columns, rows, stacked=True)


def _predicted(verdict: Verdict) -> str:
    judged = verdict.judged
    if judged.at_hz is None:
        return figure(verdict)
    port = f", port {judged.port}" if judged.port != judged.selected else ""
    return f"{figure(verdict)} at {quantity.format(judged.at_hz, 'Hz', 4)} with {judged.selected} {judged.way}{port}"
