"""One core with a number of turns: what its winding is worth over a band.

Rule: at every table point of the band the winding's parallel reactance is at least 12 Z0 and its parallel loss
resistance at least 15 Z0, which the turns needed follow from, since both grow with the square of the turns.
Source: handbook/winding.py, with the lowest core; the ratios are design rules of this program.
"""

from __future__ import annotations

import functools
import math

from msgspec import Struct

from boardgen.catalogue import Permeability
from boardgen.handbook import winding
from boardgen.handbook.constants import MAGNETIC_CONSTANT_H_PER_M
from boardgen.model.part import Part
from boardgen.sizing import rules


class Core(Struct, frozen=True):
    """A two-hole core with its lowest path constant (m) and the permeability points of the band."""

    part: Part
    path_constant_m: float
    initial: float
    points: tuple[tuple[float, complex], ...]

    @property
    def length_m(self) -> float:
        """Length along the holes."""
        return self.part.figures["length"].value

    @property
    def hole_spacing_m(self) -> float:
        """From the middle of one hole to that of the other."""
        return self.part.figures["hole spacing"].value

    @property
    def mean_turn_m(self) -> float:
        """Wire of one turn through both holes."""
        return 2 * (self.length_m + self.hole_spacing_m)

    @property
    def inductance_factor_h(self) -> float:
        """Lowest inductance per turn squared, at the initial permeability."""
        return MAGNETIC_CONSTANT_H_PER_M * self.initial * self.path_constant_m

    def parallel(self, turns: int, at: int) -> tuple[float, float]:
        """R_p and X_p in ohm at the point with that index; X_p infinite where the core no longer is inductive."""
        frequency_hz, permeability = self.points[at]
        z = winding.impedance(frequency_hz, self.path_constant_m, turns, permeability)
        resistance, reactance = winding.parallel_equivalents(z)
        return resistance, abs(reactance)

    def worst(self, turns: int) -> tuple[tuple[float, float], tuple[float, float]]:
        """Least R_p and least |X_p| in the band, each as (ohm, Hz)."""
        return _worst(self, turns)

    def turns_needed(self, impedance_ohm: float) -> float:
        """Turns at which both rules are just met for a winding that works into this impedance."""
        (resistance, _), (reactance, _) = self.worst(1)
        return math.sqrt(
            max(rules.REACTANCE_RATIO * impedance_ohm / reactance, rules.LOSS_RATIO * impedance_ohm / resistance)
        )


@functools.lru_cache(1024)
def _worst(core: Core, turns: int) -> tuple[tuple[float, float], tuple[float, float]]:
    pairs = [(*core.parallel(turns, at), frequency) for at, (frequency, _) in enumerate(core.points)]
    return min((r, f) for r, _, f in pairs), min((x, f) for _, x, f in pairs)


@functools.lru_cache(256)
def core(part: Part, permeability: Permeability, lowest_hz: float, highest_hz: float) -> Core | None:
    """The core over that band, or None where its size or its material's table does not cover it."""
    constant = part.figure("path constant")
    if constant is None:
        return None
    try:
        frequencies = permeability.points_between(lowest_hz, highest_hz)
        points = tuple((f, permeability.at(f)) for f in frequencies)
    except ValueError:
        return None
    return Core(part, constant.least, permeability.initial, points)
