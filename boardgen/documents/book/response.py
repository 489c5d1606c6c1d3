"""What the board is predicted to do over frequency."""

from __future__ import annotations

from boardgen.documents.book.source import Source
from boardgen.documents.page.blocks import Block, Column, Group, Items, Picture, Section, Table
from boardgen.documents.response import (
    LEFT_OUT,
    LEFT_OUT_HEADING,
    NOTES,
    AssumedFigure,
    assumed_figures,
    edge_rows,
    feed_lines,
    system_lines,
)
from boardgen.documents.values import text


def section(source: Source) -> Section:
    """The plot, the figures at the band's edges, the assumptions."""
    prediction = source.design.prediction
    heading, *rows = edge_rows(prediction)
    columns = (Column("Quantity"), *(Column(name) for name in heading[1:]))
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
        Table("Predicted at the band's edges and at each target's limit, at its worst", columns, rows),
        Items(tuple(f"{name}: {words}" for name, words in feed_lines(prediction))),
    ]
    if lines := system_lines(prediction):
        blocks.append(Items(tuple(lines)))
    assumed = Table(
        "Assumed figures behind the prediction",
        (Column("Figure"), Column("Parts", "code"), Column("Value", "number"), Column("Range"), Column("Because")),
        [_assumed(figure) for figure in assumed_figures(prediction)],
    )
    left_out = Table(
        "Smaller effects that are left out, and what they come to on four-way boards",
        tuple(Column(name[0].upper() + name[1:]) for name in LEFT_OUT_HEADING),
        LEFT_OUT,
    )
    blocks += [Group("What the prediction rests on", (Items(NOTES), assumed, left_out))]
    do = "Compare your own measurement with these curves; a difference beyond the bound stated is worth a look."
    return Section("response", "Predicted response", do, tuple(blocks))


def _assumed(figure: AssumedFigure) -> tuple[str, ...]:
    """A row with its numbers as people write them."""
    value, low, high = (text(number, figure.unit) for number in (figure.value, figure.low, figure.high))
    return figure.name, figure.letters, value, f"{low} to {high}", figure.why
