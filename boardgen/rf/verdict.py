"""What is said of a target: the figure with its bound, one of three states, and what a state in between rests on."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

from msgspec import Struct

from boardgen.rf.judge import Judged
from boardgen.rf.quantities import QUANTITIES
from boardgen.rf.unknowns import Unknown

VerdictState = Literal["met", "met as stated", "falls short", "not judged"]
"""Met within the bounds; met with every figure at its stated value, but not over the whole bound; missed."""


class Bound(Struct, frozen=True):
    """A predicted figure as stated, and the ends between which built boards have it, in the quantity's unit."""

    lowest: float
    nominal: float
    highest: float


class RestsOn(Struct, frozen=True):
    """An unknown that a verdict rests on, and the limit within which the target holds whatever all others are.

    `keeps` is that limit in the unknown's unit, None where it does not hold by this unknown alone; `at_most` tells on
    which side of it the target holds.
    """

    unknown: Unknown
    keeps: float | None
    at_most: bool


class Verdict(Struct, frozen=True):
    """A judged target with its bound; both are None and empty where nothing is judged."""

    judged: Judged
    state: VerdictState
    bound: Bound | None = None
    rests_on: tuple[RestsOn, ...] = ()

    @property
    def room(self) -> float:
        """What is left to the target at the worse end of the bound, in lengths of that side of it; below 0 if missed.

        Infinite where nothing is judged.
        """
        if self.bound is None or self.judged.achieved is None:
            return math.inf
        sign = 1 if QUANTITIES[self.judged.quantity].larger_is_better else -1
        worse = self.bound.lowest if sign > 0 else self.bound.highest
        side = max(abs(self.judged.achieved - worse), 1e-9)
        return sign * (worse - self.judged.wanted) / side


def deciding(verdicts: Sequence[Verdict]) -> Verdict | None:
    """The target that is missed by most, or has the least room left for what is not known; None where none is judged.

    Missed ones come before those that are met as stated, and these before those that are met.
    """
    order = ("falls short", "met as stated", "met")
    judged = [v for v in verdicts if v.state in order]
    return min(judged, key=lambda v: (order.index(v.state), v.room), default=None)
