"""response.svg: loss, match, isolation and common mode over frequency, with limits and amateur bands."""

from __future__ import annotations

import io
from math import log
from typing import TYPE_CHECKING, Any

import numpy as np

from boardgen.documents import quiet_matplotlib
from boardgen.documents.palette import BLUE, INK, PAPER, SOFT
from boardgen.documents.plot_marks import DOWN, rules, scale, shade, ticks
from boardgen.frozen import dataclass
from boardgen.handbook import bands
from boardgen.rf.laws import Array
from boardgen.rf.prediction import Prediction
from boardgen.rf.quantities import QUANTITIES
from boardgen.spec import quantity
from boardgen.spec.values import Target

if TYPE_CHECKING:
    from matplotlib.axes import Axes

WORST, BEST, LIMIT, OUTSIDE = BLUE, "#56783A", "#9C3B33", "#EFEDE6"
BAND: Any = {"color": BEST, "alpha": 0.18}
MARKS_HZ = (0.1e6, 0.2e6, 0.5e6, 1e6, 2e6, 3e6, 5e6, 7e6, 10e6, 14e6, 20e6, 30e6)
STYLE: Any = {
    "svg.hashsalt": "boardgen",
    "svg.fonttype": "none",
    "font.family": "sans-serif",
    "font.size": 9.0,
    "text.color": INK,
    "axes.edgecolor": SOFT,
    "axes.labelcolor": INK,
    "xtick.color": INK,
    "ytick.color": INK,
    # no panel has a title, and to place it would mean to measure every tick's label
    "axes.titley": 1.0,
}
ONE_CURVE = 0.01
"""Worst and best that differ by less are drawn as one curve."""
NAME_WIDTH = 0.055
"""Share of a panel's width that the name of a band takes."""
NAMES_WIDTH = 0.1
"""Room for the names at the ends of the curves, as a share of the curves' width."""
LABEL_HEIGHT = 0.08
"""Share of a panel's height between two labels that can be told apart."""
GAP = 0.06
"""Between two panels, in heights of a panel."""
MARGINS_IN = 1.08, 0.5, 0.28, 0.55
"""Room about the panels at the left, foot, right and top, in inches."""
LABEL_IN = 0.54
"""From a panel to the words at its left, past the longest tick label; given, so that nothing need be measured."""
PANELS = ("insertion loss", "return loss", "isolation", "idle common mode", "mode conversion", "common-mode impedance")


@dataclass(frozen=True)
class Panel:
    """The worst and the best of all states and ports."""

    worst: Array
    best: Array


def response_svg(prediction: Prediction) -> bytes:
    """The plot, always the same bytes for the same prediction."""
    shown = [name for name in PANELS if prediction.response.of(name)]
    library = quiet_matplotlib.load()
    with library.rc_context(STYLE):
        # places are given, since to find them would mean to draw everything twice
        left, foot, right, top = MARGINS_IN
        wide, high = 7.5, 2.1 * len(shown) + 0.8
        figure = library.figure.Figure(figsize=(wide, high), facecolor=PAPER)
        tall = (high - foot - top) / (len(shown) * (1 + GAP) - GAP)
        across = left / wide, (wide - left - right) / wide
        back = figure.add_axes((across[0], foot / high, across[1], 1 - (foot + top) / high))
        _draw_back(back, prediction, len(shown))
        for number, name in enumerate(shown):
            place = (across[0], 1 - (top + tall * (1 + number * (1 + GAP))) / high, across[1], tall / high)
            _draw(figure.add_axes(place), prediction, name)
        figure.suptitle(
            # a title is text, also with dollar signs in it
            f"{prediction.request.spec.title}: predicted response", fontsize=11, color=INK, x=0.02, ha="left",
            y=1 - 0.08 / high, va="top", parse_math=False,
        )  # fmt: skip
        content = io.BytesIO()
        figure.savefig(content, format="svg", metadata={"Date": None, "Creator": None})
    return content.getvalue()


def _draw_back(axes: Axes, prediction: Prediction, panels: int) -> None:
    """What all panels share, behind them: the amateur bands, what lies outside the band, the marks of frequency.

    Its y axis counts panels from the foot, with the gaps between them.
    """
    spec, first, last = prediction.request.spec, *_ends(prediction)
    floors = [number * (1 + GAP) for number in range(panels)]
    axes.set_xscale("log")
    axes.set_xlim(first, last)
    axes.set_ylim(0, floors[-1] + 1)
    outside = ((first, spec.band.lowest / 1e6), (spec.band.highest / 1e6, last))
    shade(axes, outside, floors, axes.transData, color=OUTSIDE)
    named = name_bands(axes, spec.band.region, prediction.response.frequency_hz)
    shade(axes, named, floors, axes.transData, **BAND)
    marks = [f / 1e6 for f in MARKS_HZ if first <= f / 1e6 <= prediction.response.frequency_hz[-1] / 1e6]
    rules(axes, [((mark, floor), (mark, floor + 1)) for mark in marks for floor in floors], axes.transData)
    for floor in floors:
        ticks(axes, [(mark, floor) for mark in marks], axes.transData, DOWN)
    for mark in marks:
        axes.annotate(f"{mark:g}", (mark, 0), (0, -7), textcoords="offset points", ha="center", va="top")
    axes.annotate(
        "frequency, MHz", (0.5, 0), (0, -20), "axes fraction", textcoords="offset points", ha="center", va="top"
    )
    axes.set_axis_off()


def _ends(prediction: Prediction) -> tuple[float, float]:
    """Both ends of the frequency axis in MHz, with room for the names of the curves."""
    first, last = (float(f) / 1e6 for f in prediction.response.frequency_hz[[0, -1]])
    return first, last * (last / first) ** NAMES_WIDTH


def _draw(axes: Axes, prediction: Prediction, name: str) -> None:
    response, spec = prediction.response, prediction.request.spec
    asked = QUANTITIES[name]
    panel = worst_and_best(prediction, name)
    megahertz = response.frequency_hz / 1e6
    axes.set_xscale("log")
    if asked.unit == "ohm":
        axes.set_yscale("log")
        axes.yaxis.set_major_formatter("{x:g}")
    axes.set_xlim(*_ends(prediction))
    axes.plot(megahertz, panel.worst, color=WORST, lw=1.6)
    if asked.target:
        # room for the limit's label, which would else lie on the names of the bands
        axes.margins(y=0.15)
    if float(np.abs(panel.best / panel.worst - 1).max()) > ONE_CURVE:
        axes.plot(megahertz, panel.best, color=BEST, lw=1.1, ls=(0, (5, 2)))
    if asked.target:
        _limit(axes, prediction, name, dict(spec.targets)[asked.target])
    _label_ends(axes, megahertz, panel)
    scale(axes)
    axes.annotate(
        f"{name.replace(' ', chr(10), 1)}\n{asked.unit}", (0, 0.5), (-LABEL_IN * 72, 0), "axes fraction",
        textcoords="offset points", rotation=90, ha="right", va="center", multialignment="center",
    )  # fmt: skip


def worst_and_best(prediction: Prediction, name: str) -> Panel:
    """Of all states and ports, over the unknown split."""
    curves = prediction.response.of(name)
    low = np.min([c.low for c in curves], axis=0)
    high = np.max([c.high for c in curves], axis=0)
    return Panel(low, high) if QUANTITIES[name].larger_is_better else Panel(high, low)


def _label_ends(axes: Axes, megahertz: Array, panel: Panel) -> None:
    """Names both curves at their ends, or both in one where they end together."""
    worst, best = float(panel.worst[-1]), float(panel.best[-1])
    axes.autoscale_view()
    to_share_of_height = axes.transScale + axes.transLimits
    heights = to_share_of_height.transform([(megahertz[-1], worst), (megahertz[-1], best)])[:, 1]
    if abs(heights[0] - heights[1]) < LABEL_HEIGHT:
        _label(axes, megahertz, worst, "all alike" if abs(best / worst - 1) <= ONE_CURVE else "worst, best", WORST)
    else:
        _label(axes, megahertz, worst, "worst", WORST)
        _label(axes, megahertz, best, "best", BEST)


def _label(axes: Axes, megahertz: Array, value: float, text: str, colour: str) -> None:
    axes.annotate(text, (float(megahertz[-1]), value), (4, 0), textcoords="offset points", color=colour, va="center")


def _limit(axes: Axes, prediction: Prediction, name: str, target: Target) -> None:
    """The target as a labelled line as far as it is judged, and the point that decides it."""
    band = prediction.request.spec.band
    top = min(band.highest, target.to_hz or band.highest)
    if top < band.lowest:
        return
    axes.plot([band.lowest / 1e6, top / 1e6], [target.value] * 2, color=LIMIT, lw=1.2, ls=(0, (2, 2)))
    word = "at least" if QUANTITIES[name].larger_is_better else "at most"
    text = f"{word} {quantity.format(target.value, target.unit)}"
    judged = next(j for j in prediction.judged if j.quantity == name)
    # the limit's words lie on one side of its line, the point's on the other
    below = judged.achieved is None or judged.achieved < target.value
    at = (2, 3) if below else (2, -11)
    axes.annotate(text, (band.lowest / 1e6, target.value), at, textcoords="offset points", color=LIMIT)
    if judged.achieved is not None and judged.at_hz is not None:
        axes.plot(judged.at_hz / 1e6, judged.achieved, marker="o", ms=4, color=INK, ls="none")
        shown = quantity.format(judged.achieved, target.unit, 3)
        at = (5, -12) if below else (5, 5)
        axes.annotate(shown, (judged.at_hz / 1e6, judged.achieved), at, textcoords="offset points", color=INK)


def name_bands(axes: Axes, region: int, frequency_hz: Array) -> list[tuple[float, float]]:
    """Names the amateur bands above the axes, and returns their edges in MHz."""
    first, last = (float(f) for f in frequency_hz[[0, -1]])
    named = 0.0
    shown = []
    for name in sorted(bands.NAMES, key=lambda name: bands.edges(name, region)):
        low, high = bands.edges(name, region)
        if first <= low and high <= last:
            shown.append((low / 1e6, high / 1e6))
            middle = (low * high) ** 0.5 / 1e6
            # a name that would run into the one before it is left out
            if named and log(middle / named) < NAME_WIDTH * log(last / first):
                continue
            named = middle
            axes.annotate(
                name, (middle, 1.0), (0, 2), xycoords=("data", "axes fraction"), textcoords="offset points",
                ha="center", fontsize=7, color=SOFT,
            )  # fmt: skip
    return shown
