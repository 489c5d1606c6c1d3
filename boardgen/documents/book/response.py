"""What the board is predicted to do over frequency."""

from __future__ import annotations

from boardgen.documents import attenuation, clamp_on, receive_path, strong_signals
from boardgen.documents.book.source import Source, listed
from boardgen.documents.identity import at, named, of_refs, wanted
from boardgen.documents.page.blocks import Block, Caution, Column, Group, Items, Picture, Section, Table
from boardgen.documents.response import (
    LEFT_OUT,
    LEFT_OUT_HEADING,
    NOTES,
    AssumedFigure,
    EdgeRow,
    assumed_figures,
    choke_notes,
    edge_points_hz,
    edges,
    feed_lines,
    temperature_notes,
    temperature_rows,
)
from boardgen.documents.text import Text, Value
from boardgen.documents.values import text
from boardgen.rf.quantities import QUANTITIES
from boardgen.spec import quantity


def section(source: Source) -> Section:
    """The plot, the figures at the band's edges, the assumptions."""
    prediction = source.design.prediction
    rows = edges(prediction)
    points = edge_points_hz(prediction)
    columns = [
        Column("Quantity"),
        *(Column(Value(named("frequency", at(f)), quantity.format(f, "Hz"))) for f in points),
        Column("Worst where"),
    ]
    if any(row.note for row in rows):
        columns.append(Column("Note"))
    plot = source.drawings.get("response.svg", "")
    shows = (
        "Six panels over frequency on a log axis: insertion loss, return loss, isolation, idle common mode, mode "
        "conversion and common-mode impedance. Each shows the worst and the best antenna, the limit asked for, and the "
        "amateur bands shaded; return loss also what it would be at worst without the capacitors at the transformers. "
        "The table below gives the figures at the band's edges."
    )
    blocks: list[Block] = []
    if plot:
        blocks.append(Picture(plot, shows, "Predicted response, worst and best of all states and ports"))
    blocks += [
        Table(
            "Predicted at the band's edges and at each target's limit, at its worst",
            tuple(columns),
            [
                (row.quantity, *(_edge(row, n, f) for n, f in enumerate(points)), row.where, row.note)[: len(columns)]
                for row in rows
            ],
        ),
        Items(tuple((f"{name}: ", Value(named("prediction", name), words)) for name, words in feed_lines(prediction))),
    ]
    if warmth := temperature_rows(prediction):
        blocks.append(
            Table(
                "Worst figures with cores as cold and as hot as the surroundings may be",
                tuple(Column(name[0].upper() + name[1:]) for name in warmth[0]),
                [_warm(warmth[0], row) for row in warmth[1:]],
            )
        )
        blocks.append(Items(tuple(temperature_notes(prediction))))
    blocks += _attenuation(source)
    blocks += _path(source)
    blocks += _clamp_on(source)
    blocks += _strong_signals(source)
    assumed = Table(
        "Assumed figures behind the prediction",
        (Column("Figure"), Column("Parts"), Column("Value", "number"), Column("Range"), Column("Because")),
        _assumed(assumed_figures(prediction)),
    )
    left_out = Table(
        "Smaller effects that are left out, and what they come to on four-way boards",
        tuple(Column(name[0].upper() + name[1:]) for name in LEFT_OUT_HEADING),
        LEFT_OUT,
    )
    chokes = [Value(named("prediction", "chokes"), words) for words in choke_notes(prediction)]
    blocks += [Group("What the prediction rests on", (Items((*NOTES, *chokes)), assumed, left_out))]
    do = "Compare your own measurement with these curves; a difference beyond the bound stated is worth a look."
    return Section("response", "Predicted response", do, tuple(blocks))


def _attenuation(source: Source) -> list[Block]:
    """What the steps of the attenuator add; nothing without one."""
    prediction, headings = source.design.prediction, attenuation.HEADINGS
    rows: list[tuple[Text, ...]] = [
        (one, *(Value(named("attenuation", name, one), cell) for name, cell in zip(headings[1:], cells, strict=True)))
        for one, *cells in attenuation.rows(prediction)
    ]
    if not rows:
        return []
    columns = tuple(Column(heading[0].upper() + heading[1:]) for heading in headings)
    lines = enumerate(attenuation.sentences(prediction), 1)
    said = Items(tuple(Value(named("attenuation", f"line {n}"), line) for n, line in lines))
    return [Group("With steps of the attenuator in", (Table("Loss added and match", columns, rows), said))]


def _path(source: Source) -> list[Block]:
    """What limits weak signals on the way to the receiver, with figures; nothing where no cable is named."""
    design = source.design
    lines = receive_path.sentences(design.prediction, receive_path.price_of(design))
    if not lines:
        return []
    headings = receive_path.HEADINGS
    rows: list[tuple[Text, ...]] = [
        tuple(Value(named("path", name, f"point {n}"), cell) for name, cell in zip(headings, cells, strict=True))
        for n, cells in enumerate(receive_path.rows(design.prediction), 1)
    ]
    columns = tuple(Column(heading[0].upper() + heading[1:], "number") for heading in headings)
    said = Items(tuple(Value(named("feeder", f"line {n}"), line) for n, line in enumerate(lines, 1)))
    return [Group("The way to the receiver", (said, Table("Loss and noise at the antenna", columns, rows)))]


def _clamp_on(source: Source) -> list[Block]:
    """Cores on the coax instead of a braid breaker, or beside it; nothing where no cable is named."""
    prediction, price = source.design.prediction, clamp_on.price_of(source.design)
    found = clamp_on.rows(prediction, price)
    if not found:
        return []
    headings = clamp_on.HEADINGS
    rows: list[tuple[Text, ...]] = [
        (core, *(Value(named("clamp-on", name, core), cell) for name, cell in zip(headings[1:], cells, strict=True)))
        for core, *cells in found
    ]
    columns = tuple(Column(heading[0].upper() + heading[1:]) for heading in headings)
    lines = enumerate(clamp_on.sentences(prediction, price), 1)
    said = Items(tuple(Value(named("clamp-on", f"line {n}"), line) for n, line in lines))
    return [Group("Cores on the coax", (said, Table("Cores on the coax of one antenna", columns, rows)))]


def _strong_signals(source: Source) -> list[Block]:
    """What transmitters near by do to board and amplifier; nothing where none is named."""
    prediction, headings = source.design.prediction, strong_signals.HEADINGS
    found = strong_signals.rows(prediction)
    if not found:
        return []
    rows: list[tuple[Text, ...]] = [
        (one, *(Value(named("transmitter", name, one), cell) for name, cell in zip(headings[1:], cells, strict=True)))
        for one, *cells in found
    ]
    columns = tuple(Column(heading[0].upper() + heading[1:]) for heading in headings)
    *lines, never = strong_signals.sentences(prediction)
    said = Items(tuple(Value(named("transmitter", f"line {n}"), line) for n, line in enumerate(lines, 1)))
    caution = Caution("caution", (f"{never[0].upper()}{never[1:]}.",))
    return [Group("Strong transmitters near by", (caution, Table("At most, from each of them", columns, rows), said))]


def _warm(heading: tuple[str, ...], row: tuple[str, ...]) -> tuple[Text, ...]:
    """A quantity at both temperatures, and what is wanted."""
    name, *figures, asked = row
    cells = zip(heading[1:], figures, strict=False)
    last = Value(wanted(QUANTITIES[name].target or name), asked)
    return (name, *(Value(named("worst", name, where), figure) for where, figure in cells), last)


def _edge(row: EdgeRow, number: int, frequency_hz: float) -> Text:
    """Figure and bound at one of the frequencies."""
    cell = row.cells[number]
    if cell is None:
        return ""
    figure, bound = cell
    name = named("worst", row.quantity, at(frequency_hz))
    found: tuple[str | Value, ...] = (Value(name, figure),)
    return (*found, " (", Value(f"{name}.bound", bound), ")") if bound else found


def _assumed(figures: list[AssumedFigure]) -> list[tuple[Text, ...]]:
    """A row each with its numbers as people write them; a reason is given once where it holds for several in a row."""
    rows: list[tuple[Text, ...]] = []
    before = ""
    for figure in figures:
        names = of_refs(figure.refs, "assumed", figure.name)
        value, low, high = (text(number, figure.unit) for number in (figure.value, figure.low, figure.high))
        why = "as above" if figure.why == before else figure.why
        spread = Value(" ".join(f"{name}.range" for name in names.split()), f"{low} to {high}")
        rows.append((figure.name, listed(figure.refs), Value(names, value), spread, why))
        before = figure.why
    return rows
