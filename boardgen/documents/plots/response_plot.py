"""response.svg: loss, match, isolation and common mode over frequency, with limits and amateur bands."""

from __future__ import annotations

import io
from collections.abc import Sequence
from math import log
from typing import TYPE_CHECKING, Any

import numpy as np
from msgspec import Struct

from boardgen.documents.canvas import BLUE, INK, PAPER, SOFT
from boardgen.documents.plots import quiet_matplotlib
from boardgen.documents.plots.panel_scale import Scale, scale_of
from boardgen.documents.plots.plot_limit import draw_limit, limit_of
from boardgen.documents.plots.plot_marks import DOWN, LEFT, lines, shade, ticks, words
from boardgen.handbook import bands
from boardgen.rf.prediction import Prediction
from boardgen.rf.quantities import QUANTITIES
from boardgen.rf_network.device_models import Array

if TYPE_CHECKING:
    from matplotlib.axes import Axes

WORST, BEST, OUTSIDE = BLUE, "#56783A", "#EFEDE6"
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
SIDE: Any = ("axes fraction", "data")
PANELS = ("insertion loss", "return loss", "isolation", "idle common mode", "mode conversion", "common-mode impedance")


class Panel(Struct, frozen=True):
    """The worst and the best of all states and ports."""

    worst: Array
    best: Array


def response_svg(prediction: Prediction) -> str:
    """The plot, always the same bytes for the same prediction."""
    shown = [name for name in PANELS if prediction.response.of(name)]
    library = quiet_matplotlib.load()
    with library.rc_context(STYLE):
        # places are given, since to find them would mean to draw everything twice
        left, foot, right, top = MARGINS_IN
        wide, high = 7.5, 2.1 * len(shown) + 0.8
        figure = library.figure.Figure(figsize=(wide, high), facecolor=PAPER)
        # one pair of axes for all panels, whose y counts panels from the foot: each pair takes four milliseconds
        axes = figure.add_axes((left / wide, foot / high, 1 - (left + right) / wide, 1 - (foot + top) / high))
        axes.set_axis_off()
        axes.set_xscale("log")
        axes.set_xlim(*_ends(prediction))
        floors = [number * (1 + GAP) for number in reversed(range(len(shown)))]
        axes.set_ylim(0, floors[0] + 1)
        _draw_back(axes, prediction, floors)
        scales = [_draw(axes, prediction, name, floor) for name, floor in zip(shown, floors, strict=True)]
        _draw_scales(axes, scales)
        figure.suptitle(
            # a title is text, also with dollar signs in it
            f"{prediction.request.spec.title}: predicted response", fontsize=11, color=INK, x=0.02, ha="left",
            y=1 - 0.08 / high, va="top", parse_math=False,
        )  # fmt: skip
        content = io.StringIO()
        figure.savefig(content, format="svg", metadata={"Date": None, "Creator": None})
    return content.getvalue()


def _ends(prediction: Prediction) -> tuple[float, float]:
    """Both ends of the frequency axis in MHz, with room for the names of the curves."""
    first, last = (float(f) / 1e6 for f in prediction.response.frequency_hz[[0, -1]])
    return first, last * (last / first) ** NAMES_WIDTH


def _draw_back(axes: Axes, prediction: Prediction, floors: Sequence[float]) -> None:
    """What is behind all panels: the amateur bands, what lies outside the band, the marks of frequency."""
    spec, points_hz, (first, last) = prediction.request.spec, prediction.response.frequency_hz, _ends(prediction)
    outside = ((first, spec.band.lowest / 1e6), (spec.band.highest / 1e6, last))
    shade(axes, outside, floors, axes.transData, color=OUTSIDE)
    shade(axes, name_bands(axes, spec.band.region, points_hz), floors, axes.transData, **BAND)
    marks = [f / 1e6 for f in MARKS_HZ if points_hz[0] <= f <= points_hz[-1]]
    lines(axes, [((mark, floor), (mark, floor + 1)) for mark in marks for floor in floors], axes.transData)
    ticks(axes, [(mark, floor) for mark in marks for floor in floors], axes.transData, DOWN)
    for mark in marks:
        words(axes, f"{mark:g}", (mark, 0), (0, -7), ha="center", va="top")
    words(axes, "frequency, MHz", (0.5, 0), (0, -20), xycoords="axes fraction", ha="center", va="top")


def _draw_scales(axes: Axes, scales: Sequence[Scale]) -> None:
    """The scale at the left of each panel, its rules, and the line about its left and foot."""
    beside = axes.get_yaxis_transform()
    marks = [mark for scale in scales for mark in scale.marks()]
    lines(axes, [((0, y), (1, y)) for y, _ in marks], beside)
    ticks(axes, [(0, y) for y, _ in marks], beside, LEFT)
    ticks(axes, [(0, y) for scale in scales for y in scale.between()], beside, LEFT, 2)
    for y, figure in marks:
        words(axes, figure, (0, y), (-7, 0), xycoords=SIDE, ha="right", va="center_baseline")
    edges = [((0, scale.floor + 1), (0, scale.floor), (1, scale.floor)) for scale in scales]
    lines(axes, edges, beside, ec=SOFT, lw=0.8, zorder=2.5, clip_on=False)


def _draw(axes: Axes, prediction: Prediction, name: str, floor: float) -> Scale:
    """One panel's curves with their names; returns its scale."""
    asked, spec = QUANTITIES[name], prediction.request.spec
    panel, megahertz = worst_and_best(prediction, name), prediction.response.frequency_hz / 1e6
    limit = limit_of(prediction, name, dict(spec.targets)[asked.target]) if asked.target else None
    figures = [panel.worst, panel.best, *([np.array([limit.target.value])] if limit else [])]
    # room for the limit's label, which would else lie on the names of the bands
    scale = scale_of(figures, floor, 0.15 if asked.target else 0.05, logarithmic=asked.unit == "ohm")
    axes.plot(megahertz, scale(panel.worst), color=WORST, lw=1.6)
    if float(np.abs(panel.best / panel.worst - 1).max()) > ONE_CURVE:
        axes.plot(megahertz, scale(panel.best), color=BEST, lw=1.1, ls=(0, (5, 2)))
    if limit:
        draw_limit(axes, scale, limit)
    _label_ends(axes, scale, megahertz[-1], panel)
    text = f"{name.replace(' ', chr(10), 1)}\n{asked.unit}"
    style = {"xycoords": SIDE, "rotation": 90, "ha": "right", "va": "center", "multialignment": "center"}
    words(axes, text, (0, floor + 0.5), (-LABEL_IN * 72, 0), **style)
    return scale


def worst_and_best(prediction: Prediction, name: str) -> Panel:
    """Of all states and ports, over the unknown split."""
    curves = prediction.response.of(name)
    low = np.min([c.low for c in curves], axis=0)
    high = np.max([c.high for c in curves], axis=0)
    return Panel(low, high) if QUANTITIES[name].larger_is_better else Panel(high, low)


def _label_ends(axes: Axes, scale: Scale, megahertz: float, panel: Panel) -> None:
    """Names both curves at their ends, or both in one where they end together."""
    worst, best = float(panel.worst[-1]), float(panel.best[-1])
    names = [(worst, "worst", WORST), (best, "best", BEST)]
    if abs(scale(worst) - scale(best)) < LABEL_HEIGHT:
        names = [(worst, "all alike" if abs(best / worst - 1) <= ONE_CURVE else "worst, best", WORST)]
    for figure, text, colour in names:
        words(axes, text, (megahertz, scale(figure)), (4, 0), color=colour, va="center")


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
