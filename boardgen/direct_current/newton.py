"""Which piece of its curve every diode is on: Newton's method with exact line search on the co-content.

Where every curve rises, the solution is the lowest point of a convex function of the points' volts (the co-content of
the network), made of parabolas. Each step goes to the lowest point of the present parabola, or as far towards it as
the function falls; it falls at every step, and there are finitely many pieces, so that it always ends.
Source: W. Millar, 1951, on content and co-content; Newton's method with exact line search (both recalled).
Cost: one linear solution a step, and a search by halving over the bends along the way; tens of steps at most are met.

Networks that differ a little are solved side by side, a row of every array each: one step of them all costs little
more than that of one.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from boardgen.direct_current.arrays import Bends, Lines, across

if TYPE_CHECKING:
    from boardgen.direct_current.arrays import Bools, Floats, Ints

MOST_STEPS = 200
"""Far more than any network of the tests takes; a network that needs more is said not to have converged."""
CLOSE_V = 1e-9
"""How far beyond the end of its piece a curve may be found, for rounding."""

ROUNDING = 1e-12
"""Share of the terms of a sum below which the sum says nothing."""


class Stack(Struct, frozen=True):
    """Networks of the same points: `rows` of resistors, the curves of all, and which of these each network has.

    Shapes: lines (rows, n); `live` (rows, curves), 1 or 0; `known` (rows, zero + 1), of which the first `points` are
    amperes given to points.
    """

    straight: Lines
    curved: Bends
    live: Floats
    known: Floats
    points: int

    def at(self, rows: Ints) -> Stack:
        """Those rows alone."""
        lines = Lines(self.straight.a[rows], self.straight.b[rows], self.straight.siemens[rows])
        return Stack(lines, self.curved, self.live[rows], self.known[rows], self.points)

    def pick(self, piece: Ints) -> tuple[Floats, Floats]:
        """Slope and offset of the curves on those pieces, 0 where a network lacks the curve; shape (rows, curves)."""
        slope, offset = self.curved.pick(piece)
        return slope * self.live, offset * self.live

    def curve_current(self, volts: Floats) -> Floats:
        """Amperes in every curve at those volts."""
        slope, offset = self.pick(self.curved.piece(volts))
        return slope * volts + offset


class Found(Struct, frozen=True):
    """By row: the unknowns with a zero at their end, steps taken, and whether it converged."""

    unknown: Floats
    steps: Ints
    converged: Bools


Linear = Callable[[Stack, "Floats", "Floats"], "Floats"]
"""The unknowns from the slope of every curve and the known side, both by row; all with a last place of 0."""


def newton(linear: Linear, stack: Stack, piece: Ints) -> Found:
    """The solutions of a stack of networks.

    Parameters
    ----------
    linear
        Solves all networks of a stack with every curve replaced by the line through its present piece.
    stack
        The networks, a row each.
    piece : (rows, curves) array
        The piece on which each curve is taken to be at the start.

    Returns
    -------
    Found
        `converged` is False in the rows of networks that take more than MOST_STEPS.

    """
    rows = np.arange(len(piece))
    here = there = _toward(linear, stack, piece)
    found, steps, converged = there.copy(), np.zeros_like(rows), np.zeros(len(rows), dtype=bool)
    for step in range(1, MOST_STEPS + 1):
        settled = _agrees(stack, there, piece)
        found[rows], steps[rows], converged[rows] = there, step, settled
        left = np.flatnonzero(~settled & np.isfinite(there).all(axis=1))
        if not len(left):
            break
        rows, stack, here, there = rows[left], stack.at(left), here[left], there[left]
        here = here + _stride(stack, here, there - here)[:, None] * (there - here)
        piece = stack.curved.piece(across(stack.curved, here))
        there = _toward(linear, stack, piece)
    return Found(found, steps, converged)


def _toward(linear: Linear, stack: Stack, piece: Ints) -> Floats:
    """Where the parabola of those pieces is lowest."""
    slope, offset = stack.pick(piece)
    return linear(stack, slope, stack.known - offset @ stack.curved.incidence(stack.known.shape[1]))


def _agrees(stack: Stack, unknown: Floats, piece: Ints) -> Bools:
    """Whether every curve is on its piece, or within rounding of an end of it."""
    volts = across(stack.curved, unknown)
    low, high = stack.curved.span(piece)
    fits = (low < volts + CLOSE_V) & (volts - CLOSE_V <= high)
    return np.asarray(np.all(fits | (stack.live == 0), axis=1))


def _stride(stack: Stack, here: Floats, way: Floats) -> Floats:
    """How far to go along `way`, 0 to 1: until the co-content no longer falls; shape (rows,)."""
    curved, siemens = stack.curved, stack.straight.siemens
    volts, change = across(curved, here), across(curved, way)
    line_v, line_change = across(stack.straight, here), across(stack.straight, way)
    level = np.sum(siemens * line_v * line_change, axis=1)
    tilt = np.sum(siemens * line_change**2, axis=1)
    # along the way the sources keep their volts, so that only the currents given to points count
    taken = np.sum(stack.known[:, : stack.points] * way[:, : stack.points], axis=1)

    def fall(t: Floats) -> Floats:
        current = stack.curve_current(volts + t[:, None] * change)
        return np.asarray(level + tilt * t + np.sum(current * change, axis=1) - taken)

    # where what is left to gain drowns in rounding, a whole step is as good as a measured one
    noise = ROUNDING * np.sum(np.abs(siemens * line_v * line_change), axis=1)
    whole = (fall(np.ones(len(here))) <= 0) | (-fall(np.zeros(len(here))) <= noise)
    if whole.all():
        return np.ones(len(here))
    stops = _stops(curved, volts, change)
    every, low = np.arange(len(stops)), np.zeros(len(stops), dtype=np.intp)
    high = low + stops.shape[1] - 1
    while np.any(high - low > 1):
        middle = (low + high) // 2
        falls = fall(stops[every, middle]) < 0
        low, high = np.where(falls, middle, low), np.where(falls, high, middle)
    before, after = fall(stops[every, low]), fall(stops[every, high])
    share = -before / np.where(after > before, after - before, np.inf)
    measured = stops[every, low] + np.maximum(share, 1e-12) * (stops[every, high] - stops[every, low])
    return np.where(whole, 1.0, measured)


def _stops(curved: Bends, volts: Floats, change: Floats) -> Floats:
    """Where along the way a curve bends, rising from 0 to 1; shape (rows, most of them), filled up with 1."""
    with np.errstate(divide="ignore", invalid="ignore"):
        crossings = ((curved.bend_v - volts[..., None]) / change[..., None]).reshape(len(volts), -1)
    inside = (crossings > 0) & (crossings < 1)
    most = int(np.max(np.sum(inside, axis=1)))
    ordered = np.sort(np.where(inside, crossings, 1.0), axis=1)
    return np.pad(ordered[:, :most], ((0, 0), (1, 1)), constant_values=((0, 0), (0.0, 1.0)))
