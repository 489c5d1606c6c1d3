"""The picture of a comparison: both responses over frequency, and under them what differs on the bill."""

from __future__ import annotations

import io
from textwrap import wrap
from typing import TYPE_CHECKING

import numpy as np

from boardgen.design import Design
from boardgen.documents.canvas import BLUE, HAIR, INK, OCHRE, PAPER, SOFT
from boardgen.documents.part_changes import PartChange, part_changes
from boardgen.documents.plots import quiet_matplotlib
from boardgen.documents.plots.plot_limit import COLOUR as LIMIT
from boardgen.documents.plots.plot_marks import shade
from boardgen.documents.plots.response_plot import BAND, MARKS_HZ, ONE_CURVE, PANELS, STYLE, name_bands, worst_and_best
from boardgen.model.part import Part
from boardgen.rf.prediction import Prediction
from boardgen.rf.quantities import QUANTITIES
from boardgen.spec import quantity

if TYPE_CHECKING:
    from matplotlib.axes import Axes

BEFORE, AFTER = OCHRE, BLUE
DASHES = (0, (5, 2))
MOST_LINES = 24
"""So many parts that differ are listed in the picture; the command itself prints all."""
MOST_LETTERS = 80
LABEL_HEIGHT, POINTS = 0.1, 72
"""Share of a panel's height that a name at the end of a curve takes; points in an inch."""
WIDE_INCHES, PANEL_INCHES, LINE_INCHES = 7.5, 1.9, 0.17
LEFT_INCHES, EDGE_INCHES, GAP_INCHES, AXIS_INCHES = 1.05, 0.12, 0.2, 0.45
TITLE_LETTERS = 76


def comparison_svg(before: Design, after: Design) -> str:
    """The picture of two predicted designs, always the same bytes for the same two."""
    predictions = (before.prediction, after.prediction)
    shown = [name for name in PANELS if all(p.response.of(name) for p in predictions)]
    lines = _bill_lines(before, after)
    library = quiet_matplotlib.load()
    heading = wrap(_title(before, after), TITLE_LETTERS)
    # places are fixed: a layout that is solved for differs in its last digits from run to run
    head, below = 0.35 + 0.2 * len(heading), LINE_INCHES * (len(lines) + 1)
    high = head + PANEL_INCHES * len(shown) + AXIS_INCHES + below + EDGE_INCHES
    with library.rc_context(STYLE):
        figure = library.figure.Figure(figsize=(WIDE_INCHES, high), facecolor=PAPER)
        rows = [
            figure.add_axes(_place(high, head + PANEL_INCHES * n, PANEL_INCHES - GAP_INCHES)) for n in range(len(shown))
        ]
        rows.append(figure.add_axes(_place(high, high - EDGE_INCHES - below, below)))
        for at, name in zip(rows[:-1], shown, strict=True):
            _panel(at, predictions, name)
        _frame(rows, predictions, after.spec.band.region)
        for number, line in enumerate(heading):
            y = 1 - (0.2 + 0.2 * number) / high
            figure.text(0.02, y, line, fontsize=11, color=INK, va="center", parse_math=False)
        _bill(rows[-1], lines)
        content = io.StringIO()
        figure.savefig(content, format="svg", metadata={"Date": None, "Creator": None})
    return content.getvalue()


def _panel(axes: Axes, predictions: tuple[Prediction, Prediction], name: str) -> None:
    """The worst of all states and ports, before and after; the target that the second design is judged by."""
    asked = QUANTITIES[name]
    axes.set_facecolor(PAPER)
    axes.set_xscale("log")
    if asked.unit == "ohm":
        axes.set_yscale("log")
        axes.yaxis.set_major_formatter(lambda value, _: f"{value:g}")
    axes.margins(y=0.15)
    ends = []
    for prediction, colour, dashes in zip(predictions, (BEFORE, AFTER), (DASHES, "-"), strict=True):
        megahertz, worst = prediction.response.frequency_hz / 1e6, worst_and_best(prediction, name).worst
        axes.plot(megahertz, worst, color=colour, lw=1.6, ls=dashes)
        ends.append((float(megahertz[-1]), float(worst[-1])))
    _limit(axes, predictions[1], name)
    axes.set_ylabel(f"worst {name.replace(' ', chr(10), 1)}\n{asked.unit}")
    axes.grid(visible=True, which="major", color=HAIR, lw=0.5)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    _label_ends(axes, ends, _alike(predictions, name))


def _alike(predictions: tuple[Prediction, Prediction], name: str) -> bool:
    """Whether both curves are one to the eye."""
    first, second = (worst_and_best(p, name).worst for p in predictions)
    same_grid = np.array_equal(predictions[0].response.frequency_hz, predictions[1].response.frequency_hz)
    return same_grid and float(np.abs(first / second - 1).max()) <= ONE_CURVE


def _limit(axes: Axes, prediction: Prediction, name: str) -> None:
    asked, spec = QUANTITIES[name], prediction.request.spec
    if not asked.target:
        return
    target = dict(spec.targets)[asked.target]
    top = min(spec.band.highest, target.to_hz or spec.band.highest)
    if top < spec.band.lowest:
        return
    axes.plot([spec.band.lowest / 1e6, top / 1e6], [target.value] * 2, color=LIMIT, lw=1.2, ls=(0, (2, 2)))
    text = f"{'at least' if asked.larger_is_better else 'at most'} {quantity.format(target.value, target.unit)}"
    paper = {"facecolor": PAPER, "edgecolor": "none", "pad": 0.5}
    at = (spec.band.lowest / 1e6, target.value)
    axes.annotate(text, at, (2, 4), textcoords="offset points", color=LIMIT, bbox=paper)


def _label_ends(axes: Axes, ends: list[tuple[float, float]], alike: bool) -> None:
    """Names both curves at their ends, moved apart where they end together; one name where they are one curve."""
    if alike:
        _label(axes, ends[1], "before and after", INK, 0.0)
        return
    axes.autoscale_view()
    before, after = (axes.transScale + axes.transLimits).transform(ends)[:, 1]
    gap = abs(before - after)
    apart = max(0.0, LABEL_HEIGHT - gap) / 2 * PANEL_INCHES * POINTS
    rises = (apart, -apart) if before >= after else (-apart, apart)
    _label(axes, ends[0], "before", BEFORE, rises[0])
    _label(axes, ends[1], "after", AFTER, rises[1])


def _label(axes: Axes, at: tuple[float, float], text: str, colour: str, rise: float) -> None:
    axes.annotate(text, at, (4, rise), textcoords="offset points", color=colour, va="center")


def _place(high: float, top: float, tall: float) -> tuple[float, float, float, float]:
    """Left, bottom, width and height of a panel as shares of the figure, its upper edge `top` inches down."""
    left, right = LEFT_INCHES / WIDE_INCHES, EDGE_INCHES / WIDE_INCHES
    return left, 1 - (top + tall) / high, 1 - left - right, tall / high


def _frame(rows: list[Axes], predictions: tuple[Prediction, Prediction], region: int) -> None:
    """One scale of frequency for all panels, and the bands."""
    both = np.concatenate([p.response.frequency_hz for p in predictions])
    first, last = float(both.min()), float(both.max())
    marks = [f / 1e6 for f in MARKS_HZ if first <= f <= last]
    for number, axes in enumerate(rows[:-1], 1):
        axes.set_xlim(first / 1e6, last / 1e6 * 1.5)
        axes.set_xticks([], minor=True)
        axes.set_xticks(marks, [f"{mark:g}" if number == len(rows) - 1 else "" for mark in marks])
    rows[-2].set_xlabel("frequency, MHz")
    named = name_bands(rows[0], region, np.array([first, last]))
    for axes in rows[:-1]:
        shade(axes, named, (0,), axes.get_xaxis_transform(), **BAND)


def _title(before: Design, after: Design) -> str:
    old, new = before.spec.title, after.spec.title
    return f"{old if old == new else f'{old}, then {new}'}: before and after"


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


def _bill(axes: Axes, lines: list[tuple[str, str]]) -> None:
    """A table of words under the panels."""
    axes.set_axis_off()
    axes.set_ylim(len(lines) + 1, 0)
    axes.set_xlim(0, 1)
    axes.text(0, 0.5, "What differs on the bill, for one board", color=INK, va="center", fontsize=9.0)
    for number, (amount, part) in enumerate(lines, 1):
        axes.text(0.17, number + 0.5, amount, color=INK, va="center", ha="right", fontsize=8.0)
        axes.text(0.19, number + 0.5, part, color=SOFT if amount else INK, va="center", fontsize=8.0, parse_math=False)
