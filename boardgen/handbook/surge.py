"""Copper tracks under one 8/20 us surge, heated without time to cool.

The wave is i(t) = I A t^3 exp(-t/tau) with t in microseconds; the heating of copper follows Onderdonk's fusing
equation, 33 t (I/area)^2 = log10(1 + dT/(234 + T)) with the area in circular mils.
"""

import math
from typing import Final

from boardgen.handbook import require

WAVE_SCALE_PER_US3: Final = 0.01243
"""A of the wave. Source: IEEE C62.41 (recalled)."""

WAVE_DECAY_US: Final = 3.911
"""tau of the wave. Source: IEEE C62.41 (recalled)."""

WAVE_POWER: Final = 3
"""Power of time in the wave. Source: IEEE C62.41 (recalled)."""

FUSING_DIVISOR: Final = 33.0
"""Source: Onderdonk's equation (recalled)."""

FUSING_OFFSET_C: Final = 234.0
"""Source: Onderdonk's equation (recalled)."""


CIRCULAR_MIL_M2: Final = math.pi / 4 * 25.4e-6**2


def action_integral_a2s(peak_a: float) -> float:
    """Integral of the squared current in ampere-squared seconds over a whole 8/20 us surge of `peak_a`.

    I^2 A^2 (2n)! (tau/2)^(2n + 1) for a wave of t^n. Raises ValueError unless the peak is finite and above zero.

    Source: IEEE C62.41 waveform (recalled), integrated.
    """
    require.positive(peak_a=peak_a)
    power = 2 * WAVE_POWER
    unit_us = WAVE_SCALE_PER_US3**2 * math.factorial(power) * (WAVE_DECAY_US / 2) ** (power + 1)
    return peak_a**2 * unit_us * 1e-6


def track_width_m(peak_a: float, thickness_m: float, start_c: float = 20.0, end_c: float = 260.0) -> float:
    """Width in metres of a copper track that an 8/20 us surge of `peak_a` brings from `start_c` to `end_c`.

    Solder and laminate bear 260 C for a moment (recalled). Raises ValueError when the peak or thickness is not
    finite and above zero, or the temperatures do not rise from above -234 C.

    Source: Onderdonk's equation (recalled) with the IEEE C62.41 waveform (recalled).
    """
    require.positive(peak_a=peak_a, thickness_m=thickness_m)
    area = math.sqrt(action_integral_a2s(peak_a) / _action_per_area2(start_c, end_c))
    return area * CIRCULAR_MIL_M2 / thickness_m


def _action_per_area2(start_c: float, end_c: float) -> float:
    """Ampere-squared seconds per square of circular mils that heat copper from `start_c` to `end_c`."""
    require.finite(start_c=start_c, end_c=end_c)
    if not -FUSING_OFFSET_C < start_c < end_c:
        message = f"temperatures must rise from above {-FUSING_OFFSET_C} C, not from {start_c} to {end_c}"
        raise ValueError(message)
    return math.log10(1 + (end_c - start_c) / (FUSING_OFFSET_C + start_c)) / FUSING_DIVISOR
