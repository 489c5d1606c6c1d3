"""Leakage inductance of two windings on a two-hole core: two estimates from geometry, both assumed until measured."""

from __future__ import annotations

import math

from boardgen.handbook.constants import MAGNETIC_CONSTANT_H_PER_M

SOURCE = "external inductance of wires inside the core, textbook (recalled); spacing of the bundles assumed"
SPACING_LOGARITHM = 1.0
"""ln(distance of the two bundles / own mean radius of a bundle) for windings side by side in one hole: assumed."""


def apart_h(core_length_m: float, turns: int) -> float:
    """Two windings side by side in the same holes, henries seen from the winding with these turns."""
    return MAGNETIC_CONSTANT_H_PER_M / (2 * math.pi) * 2 * core_length_m * SPACING_LOGARITHM * turns**2


def pair_h(mean_turn_m: float, turns: int, bare_m: float, insulated_m: float) -> float:
    """Two wires wound together as a touching pair: a two-wire line as long as the winding, henries."""
    per_metre = MAGNETIC_CONSTANT_H_PER_M / math.pi * math.acosh(insulated_m / bare_m)
    return per_metre * mean_turn_m * turns
