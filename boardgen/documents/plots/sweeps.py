"""What the sweeps of one antenna should look like: small plots of the band that built boards keep."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

import numpy as np

from boardgen.documents.canvas import HAIR, INK, PAPER, SOFT
from boardgen.documents.plots.figure import axes_at, figure_svg, write
from boardgen.documents.plots.panels import DASHES, MARKS_HZ
from boardgen.measuring.plan import Expected

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

ACROSS: Final = 3
LEFT_IN, TOP_IN, WIDE_IN, HIGH_IN, RIGHT_IN, BELOW_IN = 0.5, 0.3, 1.85, 1.1, 0.55, 0.65
"""Of the first plot and each plot's size, and the room between it and the next."""
MOST_DB: Final = 90.0
"""No instrument that a builder owns sees what is farther down."""


def sweeps_svg(expected: Sequence[Expected]) -> str:
    """The plots in rows of three, always the same for the same board."""
    rows = -(-len(expected) // ACROSS)

    def draw(figure: Figure) -> None:
        for number, one in enumerate(expected):
            row, column = divmod(number, ACROSS)
            left, top = LEFT_IN + column * (WIDE_IN + RIGHT_IN), TOP_IN + row * (HIGH_IN + BELOW_IN)
            write(figure, left, top - 0.13, title(one), fontsize=8)
            _draw(axes_at(figure, left, top, WIDE_IN, HIGH_IN), one)

    return figure_svg(TOP_IN + rows * (HIGH_IN + BELOW_IN) - 0.2, draw, "sweeps-")


def title(of: Expected) -> str:
    """What the plot is of."""
    if of.is_reflection:
        return (
            f"return loss, {'idle antenna' if of.sweep.idle else 'output' if of.to != of.sweep.antenna else 'antenna'}"
        )
    return "isolation, idle antenna" if of.sweep.idle else "loss, antenna to output"


def _draw(axes: Axes, of: Expected) -> None:
    mhz = of.frequency_hz / 1e6
    low, high, stated = (np.minimum(each, MOST_DB) for each in (of.low_db, of.high_db, of.stated_db))
    axes.set_facecolor(PAPER)
    axes.fill_between(mhz, low, high, color=HAIR, lw=0)
    axes.plot(mhz, stated, color=INK, lw=1.0, ls=DASHES)
    axes.set_xscale("log")
    axes.set_xlim(mhz[0], mhz[-1])
    marks = [mark / 1e6 for mark in MARKS_HZ if mhz[0] <= mark / 1e6 <= mhz[-1]]
    axes.set_xticks([], minor=True)
    axes.set_xticks(marks, [f"{mark:g}" for mark in marks])
    axes.tick_params(labelsize=7, colors=SOFT)
    # as on the instrument: more loss is lower
    least, most = float(low.min()), float(high.max())
    room = max(0.1 * (most - least), 0.05)
    axes.set_ylim(most + room, max(least - room, 0.0))
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
