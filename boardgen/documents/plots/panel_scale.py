"""The scale of one panel among several that stand above one another in the same axes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import overload

import numpy as np
from msgspec import Struct

from boardgen.rf_network.device_models import Array

MARKS = 7
"""At most so many marks on a panel, as many as its height has room for."""
STEPS = (1, 2, 2.5, 5, 10)


class Scale(Struct, frozen=True):
    """From figures to heights, of which a panel's is 1; `floor` is the height of its foot.

    `low` and `high` are the figures at its foot and head, on a logarithmic scale their logarithms.
    """

    floor: float
    low: float
    high: float
    logarithmic: bool = False

    @overload
    def __call__(self, figures: Array) -> Array: ...

    @overload
    def __call__(self, figures: float) -> float: ...

    def __call__(self, figures: Array | float) -> Array | float:
        """The heights of figures."""
        places = np.log10(figures) if self.logarithmic else figures
        return self.floor + (places - self.low) / (self.high - self.low)

    def marks(self) -> list[tuple[float, str]]:
        """Heights with the figures they stand for: round ones."""
        from matplotlib.ticker import LogLocator, MaxNLocator, ScalarFormatter

        if self.logarithmic:
            ends = 10.0**self.low, 10.0**self.high
            found = self._inside(LogLocator().tick_values(*ends))
            if len(found) < 2:
                found = self._inside(LogLocator(subs=(1, 2, 5)).tick_values(*ends))
            return [(self(figure), f"{figure:g}") for figure in found]
        found = self._inside(MaxNLocator(MARKS, steps=STEPS).tick_values(self.low, self.high))
        words = ScalarFormatter(useOffset=False)
        words.create_dummy_axis()
        return [(self(figure), word) for figure, word in zip(found, words.format_ticks(found), strict=True)]

    def between(self) -> list[float]:
        """Heights of the marks between those, on a logarithmic scale."""
        from matplotlib.ticker import LogLocator

        if not self.logarithmic:
            return []
        return [
            self(figure)
            for figure in self._inside(LogLocator(subs=range(2, 10)).tick_values(10.0**self.low, 10.0**self.high))
        ]

    def _inside(self, figures: Iterable[float]) -> list[float]:
        return [figure for figure in map(float, figures) if self.floor <= self(figure) <= self.floor + 1]


def scale_of(figures: Sequence[Array], floor: float, margin: float, *, logarithmic: bool) -> Scale:
    """The scale that shows all of these, with so much of their span left free below and above."""
    every = np.concatenate(figures)
    places = np.log10(every) if logarithmic else every
    low, high = float(places.min()), float(places.max())
    # a curve that is level all along stands in the middle
    room = margin * (high - low) or 0.1 * abs(high) or 1.0
    return Scale(floor, low - room, high + room, logarithmic)
