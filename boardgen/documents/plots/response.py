"""response.svg: loss, match, isolation and common mode over frequency, with limits and amateur bands."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from boardgen.documents.canvas import BLUE, OCHRE
from boardgen.documents.plots.figure import figure_svg, write
from boardgen.documents.plots.panels import (
    BAND,
    DASHES,
    ONE_CURVE,
    PANELS,
    Curve,
    Panel,
    draw_panels,
    height_in,
    limit_of,
)
from boardgen.rf.prediction import Prediction
from boardgen.rf.quantities import QUANTITIES
from boardgen.rf.response import CREDIBLE_DB, credited
from boardgen.rf_network.device_models import Array

if TYPE_CHECKING:
    from matplotlib.figure import Figure

WORST, BEST = BLUE, BAND
TOP_IN = 0.55


class Range(Struct, frozen=True):
    """The worst and the best of all states and ports."""

    worst: Array
    best: Array


def response_svg(prediction: Prediction) -> str:
    """The plot, always the same for the same prediction."""
    panels = [_panel(prediction, name) for name in PANELS if prediction.response.of(name)]
    spec = prediction.request.spec

    def draw(figure: Figure) -> None:
        write(figure, 0.15, 0.15, f"{spec.title}: predicted response", fontsize=11)
        draw_panels(figure, panels, TOP_IN, spec.band.region, (spec.band.lowest / 1e6, spec.band.highest / 1e6))

    return figure_svg(TOP_IN + height_in(panels), draw)


def _panel(prediction: Prediction, name: str) -> Panel:
    megahertz, shown = prediction.response.frequency_hz / 1e6, worst_and_best(prediction, name)
    if float(np.abs(shown.best / shown.worst - 1).max()) <= ONE_CURVE:
        curves: tuple[Curve, ...] = (Curve(megahertz, shown.worst, "all alike", WORST),)
    else:
        best = Curve(megahertz, shown.best, "best", BEST, 1.1, DASHES)
        curves = (Curve(megahertz, shown.worst, "worst", WORST), best)
    if name == "return loss" and (bare := prediction.without_compensation):
        without = np.min([c.low for c in bare.of(name)], axis=0)
        curves += (Curve(megahertz, without, "without\ncapacitors", OCHRE, 1.1, DASHES),)
    return Panel(name, curves, limit_of(prediction, name), panel_words(name, shown.best))


def panel_words(name: str, best: Array) -> str:
    """What stands beside a panel; where a curve ends at what can be believed it says so."""
    words, most = name.replace(" ", "\n", 1), CREDIBLE_DB.get(name)
    return f"{words}\ntop: better than {most:g}" if most is not None and best.max() >= most else words


def worst_and_best(prediction: Prediction, name: str) -> Range:
    """Of all states and ports, over the unknown split, no better than can be believed."""
    curves = prediction.response.of(name)
    low = credited(name, np.min([c.low for c in curves], axis=0))
    high = credited(name, np.max([c.high for c in curves], axis=0))
    return Range(low, high) if QUANTITIES[name].larger_is_better else Range(high, low)
