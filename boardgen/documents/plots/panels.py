"""Panels over frequency, one above another: curves with their names, limits, amateur bands.

Each panel is a plain pair of axes. For six panels that takes 0.2 s more than all of them drawn into one pair.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf, log, log10
from typing import TYPE_CHECKING, Any

import numpy as np
from msgspec import Struct

from boardgen.documents.canvas import BRICK, HAIR, INK, PAPER, SOFT
from boardgen.documents.identity import of_judged, wanted
from boardgen.documents.plots.figure import VALUE, WIDE_IN, axes_at
from boardgen.documents.verdicts import credible, number
from boardgen.handbook import bands
from boardgen.rf.prediction import Prediction
from boardgen.rf.quantities import QUANTITIES
from boardgen.rf.response import CREDIBLE_DB
from boardgen.rf_network.device_models import Array

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

PANELS = ("insertion loss", "return loss", "isolation", "idle common mode", "mode conversion", "common-mode impedance")
MARKS_HZ = (0.1e6, 0.2e6, 0.5e6, 1e6, 2e6, 3e6, 5e6, 7e6, 10e6, 14e6, 20e6, 30e6)
ONE_CURVE = 0.01
"""Curves that differ by less are one to the eye."""
NAME_WIDTH = 0.055
"""Share of a panel's width that the name of a band takes."""
FIGURE_WIDTH = 0.12
"""Share of the curves' width that the figure at a point takes."""
NAMES_WIDTH = 0.12
"""Room for the names at the ends of the curves, as a share of the curves' width."""
BAND, OUTSIDE = "#56783A", "#EFEDE6"
DASHES: Any = (0, (5, 2))
LEFT_IN, RIGHT_IN, LABEL_IN = 1.12, 0.28, 0.78
"""Room left and right of the panels, and from a panel to the middle of the words at its left."""
PANEL_IN, GAP_IN, BELOW_IN = 2.1, 0.12, 0.5
"""From panel to panel, the gap in that, and the room of the frequency axis under the last."""
POINTS, NAME_POINTS = 72, 11.0
"""Points in an inch; from the name of one curve to that of another."""


class Curve(Struct, frozen=True):
    """One curve, and how its end is named, "" for not at all."""

    megahertz: Array
    figures: Array
    name: str
    colour: str
    width: float = 1.6
    dashes: Any = "-"


class Limit(Struct, frozen=True):
    """A target as far as it is judged, in words, and the point that decides it, where one does."""

    figure: float
    ends_mhz: tuple[float, float]
    words: str
    name: str
    decided: tuple[float, float, str, str] | None = None
    """Frequency, figure, the figure in words, and its names."""


class Panel(Struct, frozen=True):
    """One quantity: its curves, and what it is judged by."""

    quantity: str
    curves: tuple[Curve, ...]
    limit: Limit | None
    words: str
    """What stands at its left."""


def height_in(panels: Sequence[Panel]) -> float:
    """How much of a sheet the panels take, with the frequency axis."""
    return PANEL_IN * len(panels) - GAP_IN + BELOW_IN


def limit_of(prediction: Prediction, name: str) -> Limit | None:
    """What a quantity is judged by; None without a target, or where that lies below the band."""
    asked, spec = QUANTITIES[name], prediction.request.spec
    if not asked.target:
        return None
    target, band = dict(spec.targets)[asked.target], spec.band
    top = min(band.highest, target.to_hz or band.highest)
    if top < band.lowest:
        return None
    words = f"{'at least' if asked.larger_is_better else 'at most'} {number(target.value, target.unit)}"
    judged = next(j for j in prediction.judged if j.quantity == name)
    decided = None
    if judged.achieved is not None and judged.at_hz is not None:
        achieved, most = judged.achieved, CREDIBLE_DB.get(name, inf)
        figure = credible(name, achieved, target.unit)
        decided = (judged.at_hz / 1e6, min(achieved, most), figure, of_judged(judged))
    return Limit(target.value, (band.lowest / 1e6, top / 1e6), words, wanted(asked.target), decided)


def draw_panels(
    figure: Figure, panels: Sequence[Panel], top_in: float, region: int, band_mhz: tuple[float, float] | None = None
) -> None:
    """The panels from so many inches below the upper edge of the sheet; shaded outside of a band where one is given."""
    curves = [curve for panel in panels for curve in panel.curves]
    first = float(min(curve.megahertz[0] for curve in curves))
    last = float(max(curve.megahertz[-1] for curve in curves))
    end = last * (last / first) ** NAMES_WIDTH
    marks = [mark / 1e6 for mark in MARKS_HZ if first <= mark / 1e6 <= last]
    edges = {name: (low, high) for name, (low, high) in _bands_mhz(region) if first <= low and high <= last}
    for row, panel in enumerate(panels):
        wide, high = WIDE_IN - LEFT_IN - RIGHT_IN, PANEL_IN - GAP_IN
        axes = axes_at(figure, LEFT_IN, top_in + PANEL_IN * row, wide, high)
        axes.set_facecolor(PAPER)
        axes.set_xscale("log")
        axes.set_xlim(first, end)
        if band_mhz:
            _shade(axes, [(first, band_mhz[0]), (band_mhz[1], end)], color=OUTSIDE)
        _shade(axes, list(edges.values()), color=BAND, alpha=0.18)
        axes.set_xticks([], minor=True)
        axes.set_xticks(marks, [f"{mark:g}" if panel is panels[-1] else "" for mark in marks])
        axes.grid(visible=True, which="major", color=HAIR, lw=0.5)
        axes.set_axisbelow(True)
        for side in ("top", "right"):
            axes.spines[side].set_visible(False)
        axes.set_ylabel(f"{panel.words}\n{QUANTITIES[panel.quantity].unit}", va="center")
        axes.yaxis.set_label_coords(-LABEL_IN / wide, 0.5)
        _draw(axes, panel)
        if row == 0:
            _name_bands(axes, edges, log(last / first))
    axes.set_xlabel("frequency, MHz")


def _bands_mhz(region: int) -> list[tuple[str, tuple[float, float]]]:
    """The amateur bands with their edges, from the lowest."""
    edges = {name: bands.edges(name, region) for name in bands.NAMES}
    return sorted(((name, (low / 1e6, high / 1e6)) for name, (low, high) in edges.items()), key=lambda band: band[1])


def _shade(axes: Axes, spans: Sequence[tuple[float, float]], **style: Any) -> None:
    """Spans of frequency from foot to head of a panel, all as one shape."""
    widths = [(low, high - low) for low, high in spans]
    axes.broken_barh(widths, (0, 1), transform=axes.get_xaxis_transform(), lw=0, zorder=0, **style)


def _draw(axes: Axes, panel: Panel) -> None:
    """Curves, limit and scale of a panel."""
    from matplotlib.ticker import LogLocator, NullFormatter

    if QUANTITIES[panel.quantity].unit == "ohm":
        axes.set_yscale("log")
        decades = log10(max(c.figures.max() for c in panel.curves) / min(c.figures.min() for c in panel.curves))
        # more marks than that would run into each other
        axes.yaxis.set_major_locator(LogLocator(subs=(1, 2, 5) if decades < 2 else (1,)))
        axes.yaxis.set_major_formatter(lambda figure, _: f"{figure:g}")
        axes.yaxis.set_minor_formatter(NullFormatter())
    # room for the limit's words, which would else lie on the names of the bands
    axes.margins(y=0.15 if panel.limit else 0.05)
    for curve in panel.curves:
        axes.plot(curve.megahertz, curve.figures, color=curve.colour, lw=curve.width, ls=curve.dashes)
    if panel.limit:
        _draw_limit(axes, panel.limit, panel.curves)
    _name_ends(axes, [curve for curve in panel.curves if curve.name])


def _draw_limit(axes: Axes, limit: Limit, curves: Sequence[Curve]) -> None:
    """The target as a dotted line with its words, and the point that decides it."""
    axes.plot(limit.ends_mhz, [limit.figure] * 2, color=BRICK, lw=1.2, ls=(0, (2, 2)))
    # the limit's words lie on one side of its line, the point's on the other
    below = limit.decided is None or limit.decided[1] < limit.figure
    plate = {"boxstyle": "square,pad=0.1", "fc": PAPER, "ec": "none", "alpha": 0.85}
    _beside(
        axes, limit.words, (limit.ends_mhz[0], limit.figure), (2, 3) if below else (2, -11), color=BRICK, bbox=plate,
        gid=f"{VALUE}{limit.name}",
    )  # fmt: skip
    if limit.decided:
        at_mhz, figure, words, names = limit.decided
        # a curve may pass behind the figure
        plate = {"boxstyle": "square,pad=0.1", "fc": PAPER, "ec": "none", "alpha": 0.85}
        axes.plot(at_mhz, figure, marker="o", ms=4, color=INK, ls="none")
        off, side = ((5, -12) if below else (5, 5)), "left"
        if any(_ends_near(curve, at_mhz) for curve in curves):
            # at the right are the names of the curves, and the curve that is worst lies on one side of the point
            off, side = ((-5, 5) if _rises_to(curves[0], at_mhz) else (-5, -12)), "right"
        _beside(axes, words, (at_mhz, figure), off, ha=side, color=INK, bbox=plate, gid=f"{VALUE}{names}")


def _ends_near(curve: Curve, megahertz: float) -> bool:
    """Whether words at the right of a point would reach beyond the curve's end."""
    first, last = float(curve.megahertz[0]), float(curve.megahertz[-1])
    return log(last / megahertz) < FIGURE_WIDTH * log(last / first)


def _rises_to(curve: Curve, megahertz: float) -> bool:
    """Whether its figure was less before."""
    before, at = np.interp([megahertz * 0.9, megahertz], curve.megahertz, curve.figures)
    return bool(before < at)


def _name_ends(axes: Axes, curves: Sequence[Curve]) -> None:
    """The names of the curves at their ends, moved apart as little as may be where they end together.

    Algorithm: isotonic regression, the least squares of the moves.
    """
    from scipy.optimize import isotonic_regression

    axes.autoscale_view()
    ends = [(float(curve.megahertz[-1]), float(curve.figures[-1])) for curve in curves]
    heights = (axes.transScale + axes.transLimits).transform(ends)[:, 1] * (PANEL_IN - GAP_IN) * POINTS
    order = np.argsort(heights, kind="stable")
    lines = np.array([1 + curves[n].name.count("\n") for n in order])
    stacked = NAME_POINTS * (np.cumsum(lines) - lines / 2)
    for n, up in zip(order, isotonic_regression(heights[order] - stacked).x + stacked - heights[order], strict=True):
        _beside(axes, curves[n].name, ends[n], (4, up), color=curves[n].colour, va="center")


def _name_bands(axes: Axes, edges: dict[str, tuple[float, float]], span: float) -> None:
    """The names of the bands above the first panel; one that would run into the one before it is left out."""
    named = 0.0
    for name, (low, high) in edges.items():
        middle = (low * high) ** 0.5
        if named and log(middle / named) < NAME_WIDTH * span:
            continue
        named = middle
        _beside(
            axes, name, (middle, 1.0), (0, 2), xycoords=("data", "axes fraction"), ha="center", fontsize=7, color=SOFT
        )


def _beside(axes: Axes, words: str, at: tuple[float, float], off: tuple[float, float], **style: Any) -> None:
    """Words so many points off a place."""
    axes.annotate(words, at, off, textcoords="offset points", annotation_clip=False, **style)
