"""Isolation of an open contact between two lines: what a small capacitance lets through, and the other way round."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final, NamedTuple

from boardgen.handbook import require

FURTHEST_FACTOR: Final = 2.0
"""Points whose capacitances lie further than this from their middle are not those of one capacitance: 6 dB."""
FELT: Final = 0.1
"""An inductance is told from a curve only where it is at least this share of the reactance at one of its points."""


class Through(NamedTuple):
    """Capacitance in farads through an open contact, least and most among the points; inductance in henries or None."""

    farad: float
    least_f: float
    most_f: float
    henry: float | None


def isolation_db(frequency_hz: float, through_f: float, line_ohm: float, series_h: float = 0.0) -> float:
    """Isolation in dB of a capacitance and an inductance in series between two lines of that impedance.

    Raises ValueError unless frequency, capacitance and impedance are finite and above zero, the inductance not below.

    Source: power through a series impedance between matched lines, |1 + Z/(2 Z0)|^2, any textbook (recalled).
    """
    require.positive(frequency_hz=frequency_hz, through_f=through_f, line_ohm=line_ohm)
    require.not_negative(series_h=series_h)
    omega = 2 * math.pi * frequency_hz
    reactance = omega * series_h - 1 / (omega * through_f)
    return 10 * math.log10(1 + (reactance / (2 * line_ohm)) ** 2)


def fitted(points: Sequence[tuple[float, float]], line_ohm: float) -> Through:
    """Capacitance and inductance in series that a curve of isolation shows.

    Parameters: `points`, of frequency in hertz and isolation in decibels; `line_ohm`, the impedance of the lines that
    it was measured between. The reactance 1/(w C) - w L of every point counts by its share of itself.
    Raises ValueError where a number is not above zero, where there is no point, or where the points are not those of a
    capacitance: any is more than `FURTHEST_FACTOR` off.
    """
    require.positive(line_ohm=line_ohm)
    if not points:
        raise ValueError("a curve needs a point")
    reactances = []
    for frequency_hz, decibels in points:
        require.positive(frequency_hz=frequency_hz, decibels=decibels)
        reactances.append((2 * math.pi * frequency_hz, 2 * line_ohm * math.sqrt(10 ** (decibels / 10) - 1)))
    elastance, henry = _least_squares(reactances)
    if elastance <= 0 or henry * max(omega / x for omega, x in reactances) < FELT:
        elastance, henry = sum(omega * x for omega, x in reactances) / len(reactances), 0.0
    each = [1 / (omega * (x + omega * henry)) for omega, x in reactances]
    farad = 1 / elastance
    if max(each) > FURTHEST_FACTOR * farad or min(each) < farad / FURTHEST_FACTOR:
        found = f"its points are those of {min(each) * 1e12:.3g} to {max(each) * 1e12:.3g} pF"
        raise ValueError(found)
    return Through(farad, min(*each, farad), max(*each, farad), henry or None)


def _least_squares(reactances: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """1/C and L of x = 1/(w C) - w L, every point weighed by 1/x^2; no inductance where it cannot be told."""
    one = other = mixed = right = below = 0.0
    for omega, x in reactances:
        first, second = 1 / (omega * x), -omega / x
        one, other, mixed = one + first**2, other + second**2, mixed + first * second
        right, below = right + first, below + second
    if len({omega for omega, _ in reactances}) < 2:
        return 0.0, 0.0
    determinant = one * other - mixed**2
    return (right * other - below * mixed) / determinant, (one * below - mixed * right) / determinant
