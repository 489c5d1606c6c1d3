"""Two flat strips side by side in one plane, by conformal mapping."""

import math

from boardgen.handbook import require
from boardgen.handbook.constants import MAGNETIC_CONSTANT_H_PER_M


def pair_inductance_h_per_m(width_m: float, gap_m: float) -> float:
    """Inductance per metre of the loop of two thin equal strips `gap_m` apart, nothing conducting near them.

    mu0 K(k)/K(k') with k = s/(s + 2 w). Current is taken to flow on the surface; a conducting plane beside the strips
    makes it less. Raises ValueError unless both are finite and above zero.

    Source: handbooks of planar lines, coplanar strips (recalled).
    """
    require.positive(width_m=width_m, gap_m=gap_m)
    return MAGNETIC_CONSTANT_H_PER_M * elliptic_ratio(gap_m / (gap_m + 2 * width_m))


def elliptic_ratio(modulus: float) -> float:
    """K(k)/K(k') of the complete elliptic integrals, k' = sqrt(1 - k^2).

    K(k) = pi/(2 M(1, k')) with the arithmetic-geometric mean M. Raises ValueError unless 0 < k < 1.

    Source: Abramowitz and Stegun 17.6 (recalled).
    """
    if not 0 < modulus < 1:
        message = f"modulus must lie between 0 and 1, not {modulus}"
        raise ValueError(message)
    return _mean(modulus) / _mean(math.sqrt((1 - modulus) * (1 + modulus)))


def _mean(other: float) -> float:
    """Arithmetic-geometric mean of 1 and `other`."""
    above, one = math.inf, 1.0
    # the upper mean falls until rounding stops it
    while one < above:
        above, one, other = one, (one + other) / 2, math.sqrt(one * other)
    return above
