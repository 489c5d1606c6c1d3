"""The picture of a comparison: both responses over frequency, and under them what differs on the bill."""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

import numpy as np

from boardgen.design import Design
from boardgen.documents.canvas import BLUE, INK, OCHRE, SOFT
from boardgen.documents.comparison import PartChange, part_changes
from boardgen.documents.plots.figure import TITLE_LETTERS, figure_svg, write
from boardgen.documents.plots.panels import DASHES, ONE_CURVE, PANELS, Curve, Panel, draw_panels, height_in, limit_of
from boardgen.documents.plots.response import panel_words, worst_and_best
from boardgen.model.part import Part
from boardgen.rf.prediction import Prediction

if TYPE_CHECKING:
    from matplotlib.figure import Figure

BEFORE, AFTER = OCHRE, BLUE
MOST_LINES = 24
"""So many parts that differ are listed in the picture; the command itself prints all."""
MOST_LETTERS = 80
LINE_IN, BILL_IN, AMOUNT_IN, PART_IN = 0.17, 1.05, 2.1, 2.25
"""A line of the bill, and where its heading, the ends of its amounts and its parts stand."""


def comparison_svg(before: Design, after: Design) -> str:
    """The picture of two predicted designs, always the same for the same two."""
    predictions = (before.prediction, after.prediction)
    names = [name for name in PANELS if all(p.response.of(name) for p in predictions)]
    panels = [_panel(predictions, name) for name in names]
    lines, heading = _bill_lines(before, after), wrap(_title(before, after), TITLE_LETTERS)
    top = 0.35 + 0.2 * len(heading)
    bill = top + height_in(panels) + LINE_IN

    def draw(figure: Figure) -> None:
        for number, line in enumerate(heading):
            write(figure, 0.15, 0.2 + 0.2 * number, line, fontsize=11)
        draw_panels(figure, panels, top, after.spec.band.region)
        write(figure, BILL_IN, bill, "What differs on the bill, for one board")
        for number, (amount, part) in enumerate(lines, 1):
            y = bill + LINE_IN * number
            write(figure, AMOUNT_IN, y, amount, ha="right", fontsize=8)
            write(figure, PART_IN, y, part, color=SOFT if amount else INK, fontsize=8)

    return figure_svg(bill + LINE_IN * (len(lines) + 1), draw)


def _panel(predictions: tuple[Prediction, Prediction], name: str) -> Panel:
    """The worst of all states and ports, before and after; the target that the second design is judged by."""
    before, after = (worst_and_best(p, name).worst for p in predictions)
    old_mhz, new_mhz = (p.response.frequency_hz / 1e6 for p in predictions)
    one = np.array_equal(old_mhz, new_mhz) and float(np.abs(before / after - 1).max()) <= ONE_CURVE
    curves = (
        Curve(old_mhz, before, "" if one else "before", BEFORE, dashes=DASHES),
        Curve(new_mhz, after, "both" if one else "after", AFTER),
    )
    best = np.array([max(before.max(), after.max())])
    return Panel(name, curves, limit_of(predictions[1], name), f"worst\n{panel_words(name, best)}")


def _title(before: Design, after: Design) -> str:
    old, new = before.spec.title, after.spec.title
    laid = [design.layout is not None for design in (before, after)]
    copper = {
        2: "the copper of both layouts",
        1: "the copper of one layout, the other not laid out",
        0: "copper assumed",
    }
    return f"{old if old == new else f'{old}, then {new}'}: before and after, with {copper[sum(laid)]}"


def _bill_lines(before: Design, after: Design) -> list[tuple[str, str]]:
    """What differs on the bill of one board: how many, and of what."""
    changes = part_changes(before.bill, after.bill)
    parts = {line.part.key: line.part for bill in (before.bill, after.bill) for line in bill.lines}
    lines = [(_amounts(change), _named(parts[change.key])) for change in changes[:MOST_LINES]]
    if len(changes) > MOST_LINES:
        lines.append(("", f"and {len(changes) - MOST_LINES} more, which boardgen compare prints"))
    if not changes:
        lines.append(("", "no part differs"))
    cost = f"{before.bill.board_value} to {after.bill.board_value} {after.bill.currency}"
    if before.bill.currency != after.bill.currency:
        cost = f"{before.bill.board_value} {before.bill.currency}, then {after.bill.board_value} {after.bill.currency}"
    return [*lines, ("", f"parts of a board: {cost}")]


def _named(part: Part) -> str:
    words = ", ".join(word for word in (part.name, part.description) if word)
    return words if len(words) <= MOST_LETTERS else f"{words[: MOST_LETTERS - 1]}…"


def _amounts(change: PartChange) -> str:
    unit = "" if change.unit == "piece" else f" {change.unit}"
    return f"{change.before.normalize():f} to {change.after.normalize():f}{unit}"
