"""Rings and beads of ferrite: what a turn through the hole meets, what fits, what they weigh."""

import math
from typing import Final

from boardgen.handbook import require

FERRITE_KG_PER_M3: Final = 4800.0
"""Of manganese-zinc and nickel-zinc ferrites alike, within some per cent. Source: makers' lists (recalled)."""


def path_constant_m(outer_m: float, inner_m: float, height_m: float) -> float:
    """Sum of area over length of the paths around the hole, m: S = h ln(D/d) / (2 pi).

    Raises ValueError unless all are finite and above zero and the hole is the smaller.

    Source: physics textbook, the field of a straight wire summed over a ring of rectangular section (recalled).
    """
    _sizes(outer_m, inner_m, height_m)
    return height_m * math.log(outer_m / inner_m) / (2 * math.pi)


def mass_kg(outer_m: float, inner_m: float, height_m: float) -> float:
    """Mass in kilograms. Raises ValueError as `path_constant_m`."""
    _sizes(outer_m, inner_m, height_m)
    return FERRITE_KG_PER_M3 * math.pi / 4 * (outer_m**2 - inner_m**2) * height_m


def turns_in_hole(inner_m: float, cable_m: float) -> int:
    """How many turns of a round cable lie side by side along the wall of a hole; 0 where not even one goes through.

    Raises ValueError unless both are finite and above zero.

    Source: geometry; n circles of diameter c touch within a circle of diameter d where sin(pi / n) = c / (d - c).
    """
    require.positive(inner_m=inner_m, cable_m=cable_m)
    if cable_m > inner_m:
        return 0
    share = cable_m / (inner_m - cable_m) if inner_m > cable_m else math.inf
    return 1 if share > 1 else int(math.pi / math.asin(share) + 1e-9)


def _sizes(outer_m: float, inner_m: float, height_m: float) -> None:
    require.positive(outer_m=outer_m, inner_m=inner_m, height_m=height_m)
    if inner_m >= outer_m:
        message = f"the hole of {inner_m} m must be smaller than the core of {outer_m} m"
        raise ValueError(message)
