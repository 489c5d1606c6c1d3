"""Current that a track may carry for a given rise of temperature.

I = k dT^0.44 A^0.725, amperes, kelvin and square mils, fitted to a chart that runs to about 35 A, 10 to 100 K and
400 mil (recalled). IPC-2152 of 2009 replaced it and usually asks less of external tracks beside planes.
"""

import math
from collections.abc import Mapping
from typing import Final

from boardgen.handbook import require

CONSTANT: Final[Mapping[str, float]] = {"external": 0.048, "internal": 0.024}
"""k of the formula by layer. Source: IPC-2221 (read at second hand)."""

RISE_EXPONENT: Final = 0.44
AREA_EXPONENT: Final = 0.725
MIL_M: Final = 25.4e-6


def current_a(width_m: float, thickness_m: float, rise_k: float, layer: str) -> float:
    """Amperes that warm a track of `width_m` and `thickness_m` by `rise_k` kelvin.

    Raises ValueError when a number is not finite and above zero, or `layer` is not "external" or "internal".

    Source: IPC-2221 (read at second hand).
    """
    require.positive(width_m=width_m, thickness_m=thickness_m, rise_k=rise_k)
    area_mil2 = width_m * thickness_m / MIL_M**2
    return _constant(layer) * math.pow(rise_k, RISE_EXPONENT) * math.pow(area_mil2, AREA_EXPONENT)


def width_m(current_a: float, rise_k: float, thickness_m: float, layer: str) -> float:
    """Width in metres of a track that `current_a` amperes warm by `rise_k` kelvin.

    Raises ValueError when a number is not finite and above zero, or `layer` is not "external" or "internal".

    Source: IPC-2221 (read at second hand).
    """
    require.positive(current_a=current_a, rise_k=rise_k, thickness_m=thickness_m)
    per_area = current_a / (_constant(layer) * math.pow(rise_k, RISE_EXPONENT))
    return math.pow(per_area, 1 / AREA_EXPONENT) * MIL_M**2 / thickness_m


def _constant(layer: str) -> float:
    if layer not in CONSTANT:
        message = f"layer must be external or internal, not {layer!r}"
        raise ValueError(message)
    return CONSTANT[layer]
