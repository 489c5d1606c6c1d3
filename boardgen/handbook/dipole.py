"""Coupling of two coils on open cores that stand side by side, by the field of a dipole."""

from __future__ import annotations

import math

from boardgen.handbook import require


def most_coupling(volume_m3: float, apart_m: float) -> float:
    """Coupling factor at most of two equal coils with parallel axes, each on an open core, one beside the other.

    1.5 (a/d)^3 with a sphere of the core's volume, whose field is that of a dipole and holds all of the energy; drums
    keep 10 to 30 % of it between their flanges, and are coupled by so much less. At most 1. Parameters: `volume_m3` of
    core and winding, `apart_m` from axis to axis. Raises ValueError unless both are finite and above zero.

    Source: energy and field of a dipole, M = mu0 p^2/(4 pi d^3) and L = mu0 p^2/(6 pi a^3), textbooks (recalled).
    """
    require.positive(volume_m3=volume_m3, apart_m=apart_m)
    return min(1.0, 1.5 * 3 * volume_m3 / (4 * math.pi) / apart_m**3)


def apart_for_m(volume_m3: float, coupling: float) -> float:
    """How far apart such coils stand, in metres, that are coupled by no more than that.

    Raises ValueError unless both are finite and above zero. Source: as `most_coupling`.
    """
    require.positive(volume_m3=volume_m3, coupling=coupling)
    return math.cbrt(1.5 * 3 * volume_m3 / (4 * math.pi) / coupling)
