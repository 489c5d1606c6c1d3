"""Shades, rules and ticks of a plot as one shape each: an artist of its own for every mark takes a millisecond.

Matplotlib still finds the places and words of the ticks; what is left out is only its objects for each of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any, Final, Literal

from boardgen.documents.palette import HAIR, INK, SOFT

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.transforms import Transform

TICK, MINOR_TICK = 3.5, 2.0
"""Length of a tick in points."""
LEFT: Final = 0
DOWN: Final = 3
"""Matplotlib's names of the marker that is a tick to the left, and of the one that is a tick down."""
BEHIND = 1.5
"""Rules lie over shades and under curves."""

Point = tuple[float, float]


def shade(axes: Axes, spans: Iterable[Point], floors: Sequence[float], transform: Transform, **style: Any) -> None:
    """The spans of x, shaded one unit of y high from each floor."""
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path

    boxes = [
        Path([(low, floor), (high, floor), (high, floor + 1), (low, floor + 1), (low, floor)], closed=True)
        for low, high in spans
        for floor in floors
    ]
    if boxes:
        axes.add_artist(PathPatch(Path.make_compound_path(*boxes), lw=0, transform=transform, **style))


def rules(axes: Axes, lines: Sequence[tuple[Point, Point]], transform: Transform) -> None:
    """Thin lines across a plot."""
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path

    if lines:
        path = Path.make_compound_path(*(Path(line) for line in lines))
        axes.add_artist(PathPatch(path, fill=False, ec=HAIR, lw=0.5, zorder=BEHIND, transform=transform))


def ticks(axes: Axes, at: Sequence[Point], transform: Transform, marker: Literal[0, 3], length: float = TICK) -> None:
    """Short marks outside a plot."""
    from matplotlib.lines import Line2D

    x, y = ([point[n] for point in at] for n in (0, 1))
    width = 0.8 if length == TICK else 0.6
    axes.add_artist(
        Line2D(x, y, ls="none", marker=marker, ms=length, mec=INK, mew=width, transform=transform, clip_on=False)
    )


def scale(axes: Axes) -> None:
    """The y axis with its ticks, words and rules, and the line at the foot, in place of matplotlib's own."""
    low, high = sorted(axes.get_ylim())
    beside = axes.get_yaxis_transform()
    major, minor = (
        [float(y) for y in places if low <= y <= high]
        for places in (axes.yaxis.get_majorticklocs(), axes.yaxis.get_minorticklocs())
    )
    words = axes.yaxis.get_major_formatter().format_ticks(major)
    rules(axes, [((0, y), (1, y)) for y in major], beside)
    ticks(axes, [(0, y) for y in major], beside, LEFT)
    if minor:
        ticks(axes, [(0, y) for y in minor], beside, LEFT, MINOR_TICK)
    for y, word in zip(major, words, strict=True):
        axes.annotate(
            word, (0, y), (-7, 0), ("axes fraction", "data"), textcoords="offset points", color=INK,
            ha="right", va="center_baseline",
        )  # fmt: skip
    axes.plot([0, 0, 1], [1, 0, 0], color=SOFT, lw=0.8, transform=axes.transAxes, clip_on=False)
    axes.set_axis_off()
