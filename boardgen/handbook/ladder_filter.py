"""Low-pass and high-pass ladders of Chebyshev response, from their prototypes to their loss with real coils.

Ladders of odd order between equal resistances, which begin and end with a capacitor, across the pair in a low-pass and
in series in a high-pass: so they have the fewest coils.
"""

import math
from collections.abc import Sequence
from itertools import zip_longest
from typing import Literal

from boardgen.handbook import require

Side = Literal["low-pass", "high-pass"]


def chebyshev(order: int, ripple_db: float) -> tuple[float, ...]:
    """Elements g1 to gn of the low-pass prototype between resistances of 1 ohm, whose ripple ends at 1 rad/s.

    b = ln coth(A / 17.37), c = sinh(b / 2n); g1 = 2 a1 / c, gk = 4 a(k-1) ak / (d(k-1) g(k-1)) with
    ak = sin((2k - 1) pi / 2n) and dk = c^2 + sin^2(k pi / n).

    Parameters
    ----------
    order : n, odd
    ripple_db : A, above zero

    Raises ValueError for an order that is not odd or a ripple that is not above zero.

    Source: Matthaei, Young, Jones, "Microwave Filters", section 4.05, equation 4.05-2 (recalled).

    """
    require.positive(order=order, ripple_db=ripple_db)
    if order % 2 == 0:
        message = f"order must be odd, since an even one has unequal ends, not {order}"
        raise ValueError(message)
    width = math.sinh(-math.log(math.tanh(ripple_db * math.log(10) / 40)) / (2 * order))
    sines = [math.sin((2 * k - 1) * math.pi / (2 * order)) for k in range(1, order + 1)]
    found = [2 * sines[0] / width]
    for k in range(1, order):
        divisor = width**2 + math.sin(k * math.pi / order) ** 2
        found.append(4 * sines[k - 1] * sines[k] / (divisor * found[-1]))
    return tuple(found)


def parts(
    side: Side, prototype: Sequence[float], edge_hz: float, ohm: float
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Capacitors in F and coils in H, each from one end to the other.

    Low-pass: C = g / (w R), L = g R / w. High-pass: C = 1 / (g w R), L = R / (g w).

    Raises ValueError unless edge and resistance are finite and above zero.

    Source: scaling and the low-pass to high-pass transformation, Matthaei, Young, Jones, sections 4.04 and 7.07
    (recalled).
    """
    require.positive(edge_hz=edge_hz, ohm=ohm)
    angular = 2 * math.pi * edge_hz
    scaled = [g if side == "low-pass" else 1 / g for g in prototype]
    return tuple(g / (angular * ohm) for g in scaled[::2]), tuple(g * ohm / angular for g in scaled[1::2])


def loss_db(
    side: Side, farads: Sequence[float], henries: Sequence[float], quality: float, ohm: float, frequency_hz: float
) -> float:
    """What the ladder loses between two resistances, with coils of that quality and capacitors without loss.

    The product of the chain matrices of its parts: 20 log |A + B/R + C R + D| / 2.

    Raises ValueError unless quality, resistance and frequency are above zero.

    Source: chain matrices, any text on two-ports (recalled).
    """
    require.positive(quality=quality, ohm=ohm, frequency_hz=frequency_hz)
    angular = 2 * math.pi * frequency_hz
    # voltage and current at the near end, from one volt across the far resistance
    volts, amperes = complex(1.0), complex(1 / ohm)
    for farad, henry in zip_longest(farads, henries):
        series = 1 / (1j * angular * farad)
        if side == "high-pass":
            volts += amperes * series
        else:
            amperes += volts / series
        if henry is None:
            break
        coil = angular * henry * (1j + 1 / quality)
        if side == "high-pass":
            amperes += volts / coil
        else:
            volts += amperes * coil
    return 20 * math.log10(abs(volts + amperes * ohm) / 2)
