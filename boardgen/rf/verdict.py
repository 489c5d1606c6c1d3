"""What is said of a target: the figure with its bound, one of three states, and what a state in between rests on."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from boardgen.rf.judge import Judged
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
