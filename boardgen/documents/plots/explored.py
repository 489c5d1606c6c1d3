"""explored.svg: what each board of a walk costs and does; those that nobody beats have their number."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING, NamedTuple

from boardgen.appraisal import CONVERSION, Appraisal
from boardgen.documents.canvas import BLUE, BRICK, HAIR, INK, OCHRE, PAPER, SOFT
from boardgen.documents.explored import Exploration
from boardgen.documents.plots.figure import axes_at, figure_svg, write
from boardgen.rf.response import CREDIBLE_DB

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

LEFT_IN, TOP_IN, WIDE_IN, HIGH_IN, GAP_IN = 0.9, 0.75, 6.2, 1.55, 0.3

SCALES, PREFIXES = {"dB": 1.0, "ohm": 1e3}, {"dB": "", "ohm": "k"}


class Panel(NamedTuple):
    """What is drawn over the cost: its name, how it is read of a board, and the wanted figure where there is one."""

    name: str
    read: Callable[[Appraisal], float | None]
    wanted: float | None = None


def explored_svg(found: Exploration) -> str:
    """The plot, always the same for the same boards."""
    made = [(board, board.appraisal) for board in found.boards if board.appraisal]
    panels = _panels(made[0][1])
    below = TOP_IN + len(panels) * (HIGH_IN + GAP_IN)

    def draw(figure: Figure) -> None:
        write(figure, 0.15, 0.22, f"{found.spec.title}: choices", fontsize=11)
        words = "numbered: boards that nobody beats; ring: as specified; pale: beaten, or a target missed"
        write(figure, 0.15, 0.45, words, color=SOFT, fontsize=8)
        for number, panel in enumerate(panels):
            axes = axes_at(figure, LEFT_IN, TOP_IN + number * (HIGH_IN + GAP_IN), WIDE_IN, HIGH_IN)
            _draw(axes, panel, found, last=number == len(panels) - 1)

    return figure_svg(below + 0.35, draw)


def _panels(of: Appraisal) -> Sequence[Panel]:
    targets = [
        Panel(
            f"{verdict.judged.target.replace('_', ' ')}\n{PREFIXES[verdict.judged.unit]}{verdict.judged.unit}",
            partial(_achieved, number=n),
            verdict.judged.wanted / SCALES[verdict.judged.unit],
        )
        for n, verdict in enumerate(of.verdicts)
    ]
    conversion = Panel(
        f"{CONVERSION}\ndB", lambda a: None if a.conversion_db is None else _capped(CONVERSION, a.conversion_db)
    )
    return [*targets, conversion, Panel("board\ncm2", lambda a: None if a.area_m2 is None else a.area_m2 * 1e4)]


def _achieved(of: Appraisal, number: int) -> float | None:
    judged = of.verdicts[number].judged
    return None if judged.achieved is None else _capped(judged.quantity, judged.achieved) / SCALES[judged.unit]


def _capped(quantity: str, value: float) -> float:
    """What is better than can be credited stands at the limit."""
    return min(value, CREDIBLE_DB.get(quantity, value))


def _draw(axes: Axes, panel: Panel, found: Exploration, *, last: bool) -> None:
    points = [
        (float(board.appraisal.board_value), value, board)
        for board in found.boards
        if board.appraisal and (value := panel.read(board.appraisal)) is not None
    ]
    axes.set_facecolor(PAPER)
    axes.plot([x for x, _, _ in points], [y for _, y, _ in points], ls="", marker="o", ms=2.5, color=HAIR)
    for x, y, board in points:
        if board is found.own:
            axes.plot([x], [y], ls="", marker="o", ms=9, mfc="none", color=OCHRE)
        if number := found.number(board):
            axes.plot([x], [y], ls="", marker="o", ms=3.5, color=BLUE)
            # neighbours in cost are often neighbours in figures: every other number stands below
            beside = (4, 3 if number % 2 else -9)
            axes.annotate(str(number), (x, y), beside, textcoords="offset points", color=INK, fontsize=7)
    if panel.wanted is not None:
        axes.axhline(panel.wanted, color=BRICK, lw=0.9, ls=(0, (2, 2)))
    axes.set_ylabel(panel.name)
    axes.margins(x=0.04, y=0.12)
    axes.grid(visible=True, which="major", color=HAIR, lw=0.5)
    axes.set_axisbelow(True)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    if last:
        axes.set_xlabel(f"parts of one board, {found.own.appraisal.currency if found.own.appraisal else ''}")
    else:
        axes.tick_params(labelbottom=False)
