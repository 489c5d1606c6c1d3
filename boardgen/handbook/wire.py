"""Copper wire: gauge, resistance and temperature."""

import math
from typing import Final

from boardgen.handbook import require
from boardgen.handbook.constants import MAGNETIC_CONSTANT_H_PER_M

COPPER_RESISTIVITY_OHM_M: Final = 1.7241e-8
"""Annealed copper at 20 C. Source: IEC 60028 (recalled)."""

COPPER_COEFFICIENT_PER_K: Final = 0.00393
"""Of resistance, from 20 C. Source: a relay maker's page on direct-current relays prints 0.003929 (read)."""

REFERENCE_TEMPERATURE_C: Final = 20.0
"""Where resistivity and coefficient hold. Source: IEC 60028 (recalled)."""

THICKEST_GAUGE: Final = -3
"""Gauge 0000, counted down from 0. Source: ASTM B258 (recalled)."""

THINNEST_GAUGE: Final = 56
"""Source: ASTM B258 (recalled)."""


def awg_diameter_m(gauge: int) -> float:
    """Diameter in metres of a solid conductor of an American wire gauge: 0.127 mm x 92^((36 - n)/39).

    0, -1, -2 and -3 stand for 0, 00, 000 and 0000. Raises ValueError outside -3 to 56.

    Source: ASTM B258 (read at second hand).
    """
    if not THICKEST_GAUGE <= gauge <= THINNEST_GAUGE:
        message = f"gauge must be {THICKEST_GAUGE} to {THINNEST_GAUGE}, not {gauge}"
        raise ValueError(message)
    return 0.127e-3 * math.pow(92, (36 - gauge) / 39)


def awg_area_m2(gauge: int) -> float:
    """Cross section in square metres of a solid conductor of an American wire gauge.

    Raises ValueError outside -3 to 56.

    Source: ASTM B258 (read at second hand).
    """
    radius_m = awg_diameter_m(gauge) / 2
    return math.pi * radius_m**2


def temperature_factor(temperature_c: float) -> float:
    """Copper resistance at `temperature_c`, degrees Celsius, as a multiple of that at 20 C.

    Raises ValueError when the temperature is not finite, or so low that the straight line has reached zero.

    Source: IEC 60028, 1 + 0.00393 (T - 20) (recalled).
    """
    require.finite(temperature_c=temperature_c)
    factor = 1 + COPPER_COEFFICIENT_PER_K * (temperature_c - REFERENCE_TEMPERATURE_C)
    if factor <= 0:
        message = f"temperature_c of {temperature_c} is too low for the straight line of copper resistance"
        raise ValueError(message)
    return factor


def resistance_ohm_per_m(area_m2: float, temperature_c: float = REFERENCE_TEMPERATURE_C) -> float:
    """Direct-current resistance in ohms per metre of a copper conductor of `area_m2` at `temperature_c`.

    Raises ValueError when the area is not a finite number above zero, or the temperature as
    `temperature_factor` does.

    Source: IEC 60028, standard annealed copper (recalled).
    """
    require.positive(area_m2=area_m2)
    return COPPER_RESISTIVITY_OHM_M * temperature_factor(temperature_c) / area_m2


def awg_resistance_ohm_per_m(gauge: int, temperature_c: float = REFERENCE_TEMPERATURE_C) -> float:
    """Direct-current resistance in ohms per metre of solid copper of an American wire gauge.

    Raises ValueError outside gauges -3 to 56, or for the temperature as `temperature_factor` does.

    Source: ASTM B258 (read at second hand) with IEC 60028 (recalled).
    """
    return resistance_ohm_per_m(awg_area_m2(gauge), temperature_c)


def skin_depth_m(frequency_hz: float) -> float:
    """Depth in metres at which current in copper at 20 C has fallen to 1/e: sqrt(rho/(pi f mu0)).

    Raises ValueError unless the frequency is finite and above zero.

    Source: electromagnetics textbook, 66.1 um at 1 MHz (recalled).
    """
    require.positive(frequency_hz=frequency_hz)
    return math.sqrt(COPPER_RESISTIVITY_OHM_M / (math.pi * frequency_hz * MAGNETIC_CONSTANT_H_PER_M))
