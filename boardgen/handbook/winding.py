"""Windings on ferrite: inductance, and impedance from complex permeability.

A turn of a two-hole core is one pass of the wire through both holes. All of it holds for small signals, below
the self resonance of the winding.
"""

import cmath
import math

from boardgen.handbook import require
from boardgen.handbook.constants import MAGNETIC_CONSTANT_H_PER_M


def inductance(al_h: float, turns: float) -> float:
    """Inductance in henries of `turns` on a core of `al_h` henries per turn squared.

    Raises ValueError unless both are finite and above zero.

    Source: any core catalogue, L = A_L N^2 (recalled).
    """
    require.positive(al_h=al_h, turns=turns)
    return al_h * turns**2


def impedance(frequency_hz: float, path_constant_m: float, turns: float, permeability: complex) -> complex:
    """Series impedance in ohms of a winding: Z = j 2 pi f mu0 S N^2 (mu' - j mu'').

    `permeability` is relative, complex(mu', -mu''); mu' may be negative (a large core above its dimensional
    resonance). Raises ValueError unless the first three are finite and above zero, and when the permeability
    is not finite or has a positive imaginary part, which is the wrong sign for loss.

    Source: "Specifying a Ferrite for EMI Suppression", Conformity, June 2008, equations 5 and 9 (read).
    """
    require.positive(frequency_hz=frequency_hz, path_constant_m=path_constant_m, turns=turns)
    if not (cmath.isfinite(permeability) and permeability.imag <= 0):
        message = f"permeability must be finite and of the form mu' - j mu'', not {permeability}"
        raise ValueError(message)
    air_core_h = MAGNETIC_CONSTANT_H_PER_M * path_constant_m * turns**2
    return 2j * math.pi * frequency_hz * air_core_h * permeability


def parallel_equivalents(impedance: complex) -> tuple[float, float]:
    """Resistance and signed reactance in ohms which in parallel make the series `impedance`.

    Infinity stands for a part that is absent. Raises ValueError when the impedance is zero or not finite.

    Source: circuit textbook, R_p = |Z|^2 / R and X_p = |Z|^2 / X (recalled).
    """
    if not cmath.isfinite(impedance) or impedance == 0:
        message = f"impedance must be finite and not zero, not {impedance}"
        raise ValueError(message)
    series_r, series_x = impedance.real, impedance.imag
    parallel_r = series_r + series_x * (series_x / series_r) if series_r else math.inf
    parallel_x = series_x + series_r * (series_r / series_x) if series_x else math.inf
    return parallel_r, parallel_x
