"""The winding wire: a gauge that fits the holes of the core, and how much of it a winding takes."""

from __future__ import annotations

import math

from boardgen.kinds.core import LEAD_M
from boardgen.model.part import Part
from boardgen.sizing.core import Core

FILL = 0.4
"""Share of a hole that wire may fill and still be wound by hand: common practice, no source."""
HOLE_TOLERANCE_M = 0.25e-3
"""Core holes may be this much smaller: size tables of two-hole cores (read at second hand)."""


def thickest_that_fits_m(core: Core, passes: int) -> float:
    """Insulated diameter at which that many passes just fill their share of one hole."""
    hole_m = core.part.figures["hole diameter"].value - HOLE_TOLERANCE_M
    return hole_m * math.sqrt(FILL / passes)


def fitting_wire(wires: tuple[Part, ...], core: Core, passes: int) -> Part:
    """The first wire, in order of preference, that fits; the thinnest where none does."""
    limit_m = thickest_that_fits_m(core, passes)
    fits = (wire for wire in wires if wire.figures["insulated diameter"].value <= limit_m)
    return next(fits, min(wires, key=lambda wire: wire.figures["insulated diameter"].value))


def winding_length_m(core: Core, turns: int) -> float:
    """Wire of a winding with its two leads."""
    return core.mean_turn_m * turns + 2 * LEAD_M
