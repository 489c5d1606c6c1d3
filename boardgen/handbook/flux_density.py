"""Flux density in the narrowest wall of a two-hole core."""

import math
from collections.abc import Mapping
from typing import Final

from boardgen.handbook import require

SATURATION_T: Final[Mapping[str, float]] = {
    "31": 0.34,
    "43": 0.29,
    "61": 0.235,
    "73": 0.39,
    "75": 0.43,
    "77": 0.49,
}
"""Flux density at 10 Oe and 25 degC by mix, tesla. Source: the maker's table of materials (recalled)."""


def peak_t(volts_rms: float, frequency_hz: float, turns: float, area_m2: float) -> float:
    """Peak flux density in tesla of a sine across a winding: U/(4.44 f N A), 4.44 being 2 pi over the root of 2.

    Raises ValueError unless all are finite and above zero.

    Source: textbook (recalled).
    """
    require.positive(volts_rms=volts_rms, frequency_hz=frequency_hz, turns=turns, area_m2=area_m2)
    return math.sqrt(2) * volts_rms / (2 * math.pi * frequency_hz * turns * area_m2)


def narrowest_area_m2(width_m: float, length_m: float, spacing_m: float, hole_m: float) -> float:
    """The area of a two-hole core that carries most flux for its size, counted for the whole flux of a winding, m2.

    The web between the holes carries all of it, each outer wall half. Raises ValueError where a wall is none.

    Parameters
    ----------
    width_m : across both holes
    length_m : along the holes
    spacing_m : from the middle of one hole to that of the other
    hole_m : diameter of a hole

    Source: geometry.

    """
    web_m, wall_m = spacing_m - hole_m, (width_m - spacing_m - hole_m) / 2
    require.positive(web_m=web_m, wall_m=wall_m, length_m=length_m)
    return length_m * min(web_m, 2 * wall_m)
