"""Leakage of a transformer met by a small capacitor across the line at each of its ends: a low-pass section.

With C = L / (2 Z0^2) at each end the section has the impedance of the line far below its cutoff, Z0 / (pi L). Leakage
then costs bandwidth only where it is no longer small beside Z0.
"""

import math

from boardgen.handbook import require

MOST_RETURN_LOSS_DB = 99.0
"""Given where nothing is reflected, so that it stays a number."""


def end_capacitance_f(series_h: float, impedance_ohm: float, end_ohm: float) -> float:
    """Capacitance in farads at one end of a series inductance, both sides of which are lines.

    Parameters: `series_h` seen from the side of `impedance_ohm`; `end_ohm`, the impedance of the line at this end,
    another than `impedance_ohm` beyond a transformer. Raises ValueError unless all are finite and above zero.

    Source: constant-k low-pass section, C = L / Z^2 shared between its ends, any handbook on filters (recalled).
    """
    require.positive(series_h=series_h, impedance_ohm=impedance_ohm, end_ohm=end_ohm)
    return series_h / (2 * impedance_ohm * end_ohm)


def section_return_loss_db(
    series_h: float, first_f: float, second_f: float, impedance_ohm: float, frequency_hz: float
) -> float:
    """Return loss in decibels of a series inductance with a capacitor across the line at each end.

    Parameters: capacitances as seen from the side of `impedance_ohm`; 0 where there is none. Raises ValueError unless
    inductance, impedance and frequency are finite and above zero.

    Source: chain matrices of two-ports, any textbook (recalled).
    """
    require.positive(series_h=series_h, impedance_ohm=impedance_ohm, frequency_hz=frequency_hz)
    require.not_negative(first_f=first_f, second_f=second_f)
    omega = 2 * math.pi * frequency_hz
    behind = 1 / (1 / impedance_ohm + 1j * omega * second_f)
    seen = 1 / (1j * omega * first_f + 1 / (1j * omega * series_h + behind))
    reflected = abs((seen - impedance_ohm) / (seen + impedance_ohm))
    return min(MOST_RETURN_LOSS_DB, -20 * math.log10(reflected)) if reflected else MOST_RETURN_LOSS_DB
