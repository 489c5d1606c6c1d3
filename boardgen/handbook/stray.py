"""Stray capacitance between copper areas."""

from typing import Final

from boardgen.handbook import require
from boardgen.handbook.constants import ELECTRIC_CONSTANT_F_PER_M

FR4_LOWEST_PERMITTIVITY: Final = 4.2
"""Relative, at radio frequency. Source: laminate makers' sheets (recalled)."""

FR4_HIGHEST_PERMITTIVITY: Final = 4.6
"""Relative, at radio frequency. Source: laminate makers' sheets (recalled)."""


def plate_capacitance_f(area_m2: float, gap_m: float, relative_permittivity: float) -> float:
    """Capacitance in farads of two parallel plates; fringing is left out, so the real one is higher.

    Raises ValueError unless every argument is finite and above zero.

    Source: physics textbook, C = e0 er A/d (recalled).
    """
    require.positive(area_m2=area_m2, gap_m=gap_m, relative_permittivity=relative_permittivity)
    return ELECTRIC_CONSTANT_F_PER_M * relative_permittivity * area_m2 / gap_m
