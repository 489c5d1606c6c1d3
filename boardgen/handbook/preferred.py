"""Preferred numbers for resistors, capacitors and inductors.

Source: IEC 60063, by several public lists that agree (read at second hand).
"""

import math
from collections.abc import Mapping
from functools import lru_cache
from typing import Final

_E24: Final = (
    10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91,
)  # fmt: skip

_E96: Final = (
    100, 102, 105, 107, 110, 113, 115, 118, 121, 124, 127, 130, 133, 137, 140, 143,
    147, 150, 154, 158, 162, 165, 169, 174, 178, 182, 187, 191, 196, 200, 205, 210,
    215, 221, 226, 232, 237, 243, 249, 255, 261, 267, 274, 280, 287, 294, 301, 309,
    316, 324, 332, 340, 348, 357, 365, 374, 383, 392, 402, 412, 422, 432, 442, 453,
    464, 475, 487, 499, 511, 523, 536, 549, 562, 576, 590, 604, 619, 634, 649, 665,
    681, 698, 715, 732, 750, 768, 787, 806, 825, 845, 866, 887, 909, 931, 953, 976,
)  # fmt: skip

SERIES: Final[Mapping[str, tuple[int, ...]]] = {
    "E6": _E24[::4],
    "E12": _E24[::2],
    "E24": _E24,
    "E48": _E96[::2],
    "E96": _E96,
}
"""One decade of each series, as whole numbers of two or three digits."""


@lru_cache(4096)
def nearest(value: float, series: str) -> float:
    """Member of `series`, over all decades, nearest to `value` in plain difference; the lower of two equals.

    Any unit, same unit out. Raises ValueError when the value is not a finite number above zero, or the series
    is unknown.

    Source: IEC 60063 (read at second hand).
    """
    return min(_around(value, series), key=lambda member: abs(member - value))


def at_least(value: float, series: str) -> float:
    """Lowest member of `series`, over all decades, not below `value`.

    A member that equals the value but for rounding (one part in 10^9) counts as equal. Raises ValueError as
    `nearest` does.

    Source: IEC 60063 (read at second hand).
    """
    return next(m for m in _around(value, series) if m >= value or math.isclose(m, value))


def at_most(value: float, series: str) -> float:
    """Highest member of `series`, over all decades, not above `value`.

    A member that equals the value but for rounding (one part in 10^9) counts as equal. Raises ValueError as
    `nearest` does.

    Source: IEC 60063 (read at second hand).
    """
    return next(m for m in reversed(_around(value, series)) if m <= value or math.isclose(m, value))


def _around(value: float, series: str) -> tuple[float, ...]:
    """Members in rising order, of the decade of `value` and the one on either side."""
    if not (math.isfinite(value) and value > 0):
        message = f"a preferred number needs a finite value above zero, not {value}"
        raise ValueError(message)
    if series not in SERIES:
        message = f"series must be one of {', '.join(SERIES)}, not {series!r}"
        raise ValueError(message)
    return _decades(math.floor(math.log10(value / SERIES[series][0])), series)


@lru_cache(maxsize=256)
def _decades(power: int, series: str) -> tuple[float, ...]:
    # read from decimal text, so that a member is the very float its value is written as
    return tuple(float(f"{m}e{decade}") for decade in (power - 1, power, power + 1) for m in SERIES[series])
