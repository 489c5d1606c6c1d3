"""Shades, rules and ticks of a plot as one shape each: an artist of its own for every mark takes a millisecond."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any, Final, Literal

from boardgen.documents.canvas import HAIR, INK

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.transforms import Transform

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


def lines(axes: Axes, ways: Sequence[Sequence[Point]], transform: Transform, **style: Any) -> None:
    """Lines through points; thin ones behind the curves, unless the style says otherwise."""
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path

    if ways:
        path = Path.make_compound_path(*map(Path, ways))
        style = {"ec": HAIR, "lw": 0.5, "zorder": BEHIND} | style
        axes.add_artist(PathPatch(path, fill=False, transform=transform, **style))


def ticks(axes: Axes, at: Sequence[Point], transform: Transform, marker: Literal[0, 3], points: float = 3.5) -> None:
    """Marks outside a plot, so many points long."""
    from matplotlib.lines import Line2D

    x, y = ([point[n] for point in at] for n in (0, 1))
    style: Any = {"ls": "none", "ms": points, "mec": INK, "mew": 0.8 if points > 3 else 0.6, "clip_on": False}
    axes.add_artist(Line2D(x, y, marker=marker, transform=transform, **style))


def words(axes: Axes, text: str, at: Point, off: Point, **style: Any) -> None:
    """Words so many points off a place."""
    axes.annotate(text, at, off, textcoords="offset points", annotation_clip=False, **{"color": INK} | style)
