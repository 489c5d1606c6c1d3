"""cost-over-quantity.svg: what a board costs when so many are bought for, its largest steps numbered and explained."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from boardgen.documents.canvas import HAIR, INK, PAPER, SOFT
from boardgen.documents.plots.figure import axes_at, figure_svg, write
from boardgen.documents.plots.panels import DASHES
from boardgen.documents.plots.response import BEST, WORST
from boardgen.purchasing.cost_over_quantity import CostPoint

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

MOST_STEPS = 6
"""Steps that are numbered in the plot; the table has them all."""
MARKS = (1, 2, 3, 5, 10, 20, 30, 50, 100, 200, 300, 500, 1000)
PLOT_IN, WORDS_IN, LINE_IN = 2.65, 3.6, 0.17
"""Height of the plot, where the explanations begin, and from line to line."""
LINE = 112
"""Characters on a line of the explanations."""


def cost_svg(points: Sequence[CostPoint], title: str, currency: str) -> str:
    """The plot, always the same for the same points."""
    steps = largest_steps(points)
    words = [line for number, point in enumerate(steps, 1) for line in _explained(number, point)]

    def draw(figure: Figure) -> None:
        write(figure, 0.15, 0.25, f"{title}: cost of a board", fontsize=11)
        axes = axes_at(figure, 0.75, 0.5, 5.7, PLOT_IN)
        _draw(axes, points, currency)
        for number, point in enumerate(steps, 1):
            _mark(axes, number, point)
        for number, line in enumerate(words, 1):
            write(figure, 0.15, WORDS_IN + LINE_IN * number, line, fontsize=8)

    return figure_svg(WORDS_IN + LINE_IN * (len(words) + 2), draw)


def largest_steps(points: Sequence[CostPoint]) -> list[CostPoint]:
    """The steps that change the cost of a board most, from left to right, of a cause that goes on only the first.

    The fall from one board to two is none.
    """
    changes = [
        (abs(point.per_board - before.per_board) / before.per_board, point)
        for before, point in pairwise(points[1:])
        if point.causes and _first(point) != _first(before)
    ]
    largest = sorted(changes, key=lambda change: -change[0])[:MOST_STEPS]
    return sorted((point for _, point in largest), key=lambda point: point.boards)


def _first(point: CostPoint) -> str:
    """The largest cause without its amount."""
    return point.causes[0].rsplit(" (", 1)[0] if point.causes else ""


def _explained(number: int, point: CostPoint) -> list[str]:
    words = f"{number}: {point.boards} boards, {point.per_board}: {'; '.join(point.causes)}"
    return textwrap.wrap(words, LINE, break_on_hyphens=False)


def _draw(axes: Axes, points: Sequence[CostPoint], currency: str) -> None:
    boards = [point.boards for point in points]
    cost = [float(point.per_board) for point in points]
    alone = [float(p.line_by_line) if p.line_by_line is not None else float("nan") for p in points]
    axes.set_facecolor(PAPER)
    axes.plot(boards, alone, color=BEST, lw=1.1, ls=DASHES)
    axes.plot(boards, cost, color=WORST, lw=1.4, marker="o", ms=2.2)
    axes.set_xscale("log")
    axes.set_xlim(0.9, boards[-1] * 1.08)
    marks = [mark for mark in MARKS if mark <= boards[-1]]
    axes.set_xticks([], minor=True)
    axes.set_xticks(marks, [str(mark) for mark in marks])
    axes.margins(y=0.12)
    axes.set_xlabel("boards of each kind")
    axes.set_ylabel(f"{currency} a board, all kinds alike")
    axes.grid(visible=True, which="major", color=HAIR, lw=0.5)
    axes.set_axisbelow(True)
    if alone[-1] == alone[-1] and alone[-1] > cost[-1] * 1.03:
        _name(axes, boards[-1], alone[-1], "line by line", BEST)
        _name(axes, boards[-1], cost[-1], "best order", WORST)
    else:
        _name(axes, boards[-1], cost[-1], "best order,\nline by line", WORST)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    axes.annotate(f"{points[0].per_board}", (1, cost[0]), (8, 0), textcoords="offset points", color=INK)
    axes.annotate(
        f"{points[-1].per_board}", (boards[-1], cost[-1]), (0, -11), textcoords="offset points", color=INK, ha="right"
    )


def _name(axes: Axes, at: int, value: float, text: str, colour: str) -> None:
    axes.annotate(
        text, (at, value), (6, 0), textcoords="offset points", color=colour, va="center", annotation_clip=False
    )


def _mark(axes: Axes, number: int, point: CostPoint) -> None:
    axes.annotate(
        str(number),
        (point.boards, float(point.per_board)),
        (0, 16),
        textcoords="offset points",
        ha="center",
        va="center",
        color=INK,
        fontsize=8,
        bbox={"boxstyle": "circle,pad=0.2", "fc": PAPER, "ec": SOFT, "lw": 0.6},
        arrowprops={"arrowstyle": "-", "color": SOFT, "lw": 0.6},
    )
