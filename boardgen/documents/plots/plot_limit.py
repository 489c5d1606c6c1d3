"""The limit of a quantity in its panel, and the point that decides whether it is met."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from boardgen.documents.canvas import INK, PAPER
from boardgen.documents.plots.panel_scale import Scale
from boardgen.documents.plots.plot_marks import words
from boardgen.rf.judge import Judged
from boardgen.rf.prediction import Prediction
from boardgen.rf.quantities import QUANTITIES
from boardgen.spec import quantity
from boardgen.spec.values import Target

if TYPE_CHECKING:
    from matplotlib.axes import Axes

COLOUR = "#9C3B33"
PLATE = {"boxstyle": "square,pad=0.1", "fc": PAPER, "ec": "none", "alpha": 0.85}
"""Behind the figure, which a curve may pass."""


class Limit(Struct, frozen=True):
    """A target as far as it is judged: from and to which frequency, how it is judged, and in what words."""

    target: Target
    ends_mhz: tuple[float, float]
    judged: Judged
    text: str


def limit_of(prediction: Prediction, name: str, target: Target) -> Limit | None:
    """What a quantity is judged by; None where that lies below the band."""
    band = prediction.request.spec.band
    top = min(band.highest, target.to_hz or band.highest)
    if top < band.lowest:
        return None
    word = "at least" if QUANTITIES[name].larger_is_better else "at most"
    judged = next(j for j in prediction.judged if j.quantity == name)
    text = f"{word} {quantity.format(target.value, target.unit)}"
    return Limit(target, (band.lowest / 1e6, top / 1e6), judged, text)


def draw_limit(axes: Axes, scale: Scale, limit: Limit) -> None:
    """The target as a labelled line, and the point that decides it."""
    judged, value = limit.judged, limit.target.value
    axes.plot(limit.ends_mhz, [scale(value)] * 2, color=COLOUR, lw=1.2, ls=(0, (2, 2)))
    # the limit's words lie on one side of its line, the point's on the other
    below = judged.achieved is None or judged.achieved < value
    words(axes, limit.text, (limit.ends_mhz[0], scale(value)), (2, 3) if below else (2, -11), color=COLOUR)
    if judged.achieved is not None and judged.at_hz is not None:
        at = judged.at_hz / 1e6, scale(judged.achieved)
        axes.plot(*at, marker="o", ms=4, color=INK, ls="none")
        figure = quantity.format(judged.achieved, limit.target.unit, 3)
        words(axes, figure, at, (5, -12) if below else (5, 5), bbox=PLATE)
