"""Which piece of its curve every diode is on: Newton's method with the best step, which always ends.

Where every curve rises, the solution is the lowest point of a convex function of the points' volts (the co-content of
the network), made of parabolas. Each step goes to the lowest point of the present parabola, or as far towards it as
the function falls; it falls at every step, and there are finitely many pieces.
Source: W. Millar, 1951, on content and co-content; Newton's method with exact line search (both recalled).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from boardgen.direct_current.arrays import Bends, Lines

if TYPE_CHECKING:
    from boardgen.direct_current.arrays import Floats, Ints

MOST_STEPS = 200
"""Far more than any network of the tests takes; a network that needs more is said not to have converged."""
CLOSE_V = 1e-9
"""How far beyond the end of its piece a curve may be found, for rounding."""

ROUNDING = 1e-12
"""Share of the terms of a sum below which the sum says nothing."""


class Found(Struct, frozen=True):
    """The unknowns with a zero at their end, the piece of every curve, steps taken, and whether it converged."""

    unknown: Floats
    piece: Ints
    steps: int
    converged: bool


def newton(
    linear: Callable[[Floats, Floats], Floats], straight: Lines, curved: Bends, known: Floats, points: int, piece: Ints
) -> Found:
    """The solution, from the given pieces on; the first `points` of the unknowns are volts.

    `linear` takes the slope of every curve and the known side, and gives the unknowns; all without the last place.
    """
    # along the way the sources keep their volts, so that only the currents given to points count
    given = np.where(np.arange(len(known)) < points, known, 0.0)

    def toward(piece: Ints) -> Floats:
        slope, offset = curved.pick(piece)
        side = known.copy()
        np.add.at(side, curved.a, -offset)
        np.add.at(side, curved.b, offset)
        return np.append(linear(slope, side[:-1]), 0.0)

    here = there = toward(piece)
    for step in range(1, MOST_STEPS + 1):
        if _agrees(curved, there, piece):
            return Found(there, piece, step, converged=True)
        here = here + _stride(straight, curved, given, here, there - here) * (there - here)
        piece = curved.piece(here[curved.a] - here[curved.b])
        there = toward(piece)
    return Found(here, piece, MOST_STEPS, converged=False)


def _agrees(curved: Bends, unknown: Floats, piece: Ints) -> bool:
    """Whether every curve is on its piece, or within rounding of an end of it."""
    volts = unknown[curved.a] - unknown[curved.b]
    return bool(np.all((curved.piece(volts - CLOSE_V) <= piece) & (piece <= curved.piece(volts + CLOSE_V))))


def _current(curved: Bends, volts: Floats) -> Floats:
    slope, offset = curved.pick(curved.piece(volts))
    return slope * volts + offset


def _stride(straight: Lines, curved: Bends, given: Floats, here: Floats, way: Floats) -> float:
    """How far to go along `way`, 0 to 1: until the co-content no longer falls."""
    volts, change = here[curved.a] - here[curved.b], way[curved.a] - way[curved.b]
    line_v, line_change = here[straight.a] - here[straight.b], way[straight.a] - way[straight.b]
    level = float(np.sum(straight.siemens * line_v * line_change))
    tilt = float(np.sum(straight.siemens * line_change**2))
    taken = float(np.sum(given * way))

    def fall(t: float) -> float:
        return level + tilt * t + float(np.sum(_current(curved, volts + t * change) * change)) - taken

    with np.errstate(divide="ignore", invalid="ignore"):
        crossings = ((curved.bend_v - volts[:, None]) / change[:, None]).ravel()
    stops = np.unique(np.concatenate(([0.0], crossings[(crossings > 0) & (crossings < 1)], [1.0])))
    low, high = 0, len(stops) - 1
    # where what is left to gain drowns in rounding, a whole step is as good as a measured one
    noise = ROUNDING * float(np.sum(np.abs(straight.siemens * line_v * line_change)))
    if fall(1.0) <= 0 or -fall(0.0) <= noise:
        return 1.0
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if fall(stops[middle]) < 0 else (low, middle)
    before, after = fall(stops[low]), fall(stops[high])
    share = -before / (after - before) if after > before else 0.0
    return float(stops[low] + max(share, 1e-12) * (stops[high] - stops[low]))
