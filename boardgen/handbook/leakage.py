"""Leakage inductance of two windings on a two-hole core: two estimates from geometry, both assumed until measured."""

import math

from boardgen.handbook import require
from boardgen.handbook.constants import MAGNETIC_CONSTANT_H_PER_M

SOURCE = "external inductance of wires inside the core, textbook (recalled); spacing of the bundles assumed"
SPACING_LOGARITHM = 1.0
"""ln(distance of the two bundles / own mean radius of a bundle) for windings side by side in one hole: assumed."""


def apart_h(core_length_m: float, turns: int) -> float:
    """Leakage in henries of two windings side by side in the same holes, seen from the winding with these turns.

    Each pass of a turn through a hole is a length of line between two bundles; a turn passes `core_length_m` metres
    twice. Raises ValueError unless both are finite and above zero.

    Source: L = mu0 / (2 pi) l ln(d/r) a pass, external inductance of parallel wires, any textbook (recalled).
    """
    require.positive(core_length_m=core_length_m, turns=turns)
    return MAGNETIC_CONSTANT_H_PER_M / (2 * math.pi) * 2 * core_length_m * SPACING_LOGARITHM * turns**2


def pair_h(mean_turn_m: float, turns: int, bare_m: float, insulated_m: float) -> float:
    """Leakage in henries of two wires wound together as a touching pair, a two-wire line as long as the winding.

    `mean_turn_m` is the length of a turn, `bare_m` and `insulated_m` the diameters of the wire without and with its
    enamel, all in metres. Raises ValueError unless all are finite and above zero and the enamel has a thickness.

    Source: L = mu0 / pi acosh(D/d) a metre of a two-wire line, any textbook (recalled).
    """
    require.positive(mean_turn_m=mean_turn_m, turns=turns, bare_m=bare_m, insulated_m=insulated_m)
    if insulated_m < bare_m:
        raise ValueError("a wire is no thinner with its enamel than without", insulated_m, bare_m)
    per_metre = MAGNETIC_CONSTANT_H_PER_M / math.pi * math.acosh(insulated_m / bare_m)
    return per_metre * mean_turn_m * turns
