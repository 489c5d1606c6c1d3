"""measured.svg: each curve that was measured over the band of built boards, and what is predicted."""

from __future__ import annotations

from typing import TYPE_CHECKING

from boardgen.documents.canvas import BLUE, BRICK, HAIR, PAPER, SOFT
from boardgen.documents.measured import Measured
from boardgen.documents.plots.figure import axes_at, figure_svg, write
from boardgen.documents.plots.panels import DASHES
from boardgen.measuring.overlay import Curve

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

LEFT_IN, TOP_IN, WIDE_IN, HIGH_IN, GAP_IN = 0.8, 0.8, 6.3, 1.2, 0.45


def measured_svg(measured: Measured) -> str:
    """The plot, always the same for the same sweeps."""
    below = TOP_IN + len(measured.curves) * (HIGH_IN + GAP_IN)

    def draw(figure: Figure) -> None:
        write(figure, 0.15, 0.22, f"{measured.spec.title}: measured", fontsize=11)
        words = "dB over MHz; band: 95 of 100 built boards; dashed: predicted; line: measured, brick where outside"
        write(figure, 0.15, 0.45, words, color=SOFT, fontsize=8)
        for number, curve in enumerate(measured.curves):
            top = TOP_IN + number * (HIGH_IN + GAP_IN)
            write(figure, LEFT_IN, top - 0.1, curve.title, fontsize=8)
            _draw(axes_at(figure, LEFT_IN, top, WIDE_IN, HIGH_IN), curve)

    return figure_svg(below + 0.1, draw)


def _draw(axes: Axes, curve: Curve) -> None:
    mhz = curve.frequency_hz / 1e6
    axes.set_facecolor(PAPER)
    axes.fill_between(mhz, curve.low_db, curve.high_db, color=HAIR, lw=0)
    axes.plot(mhz, curve.stated_db, color=SOFT, lw=1.0, ls=DASHES)
    axes.plot(mhz, curve.measured_db, color=BLUE if curve.inside else BRICK, lw=1.3)
    axes.set_xscale("log")
    axes.set_xlim(mhz[0], mhz[-1])
    marks = [mark for mark in (0.1, 0.2, 0.5, 1, 2, 3, 5, 7, 10, 14, 20, 30) if mhz[0] <= mark <= mhz[-1]]
    axes.set_xticks([], minor=True)
    axes.set_xticks(marks, [f"{mark:g}" for mark in marks])
    axes.margins(y=0.15)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
