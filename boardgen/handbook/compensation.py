"""Leakage of a transformer met by a small capacitor across the line at each of its ends: a low-pass section.

With C = L / (2 Z0^2) at each end the section has the impedance of the line far below its cutoff, Z0 / (pi L). Leakage
then costs bandwidth only where it is no longer small beside Z0.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
import numpy.typing as npt

from boardgen.handbook import require

Array = npt.NDArray[Any]

MOST_RETURN_LOSS_DB = 99.0
"""Given where nothing is reflected, so that it stays a number."""


def end_capacitance_f(series_h: float, impedance_ohm: float, end_ohm: float, frequency_hz: float = 0.0) -> float:
    """Capacitance in farads at one end of a series inductance, both sides of which are lines.

    Parameters: `series_h` seen from the side of `impedance_ohm`; `end_ohm`, the impedance of the line at this end,
    another than `impedance_ohm` beyond a transformer; `frequency_hz` at which nothing is reflected, 0 for the limit far
    below the cutoff. Where the reactance is more than `impedance_ohm` there, no capacitance leaves nothing; the one
    given is that of the highest frequency at which one does. Raises ValueError unless all others are finite and above
    zero, the frequency not below.

    Source: constant-k low-pass section, C = L / Z^2 shared between its ends, any handbook on filters (recalled); b^2 -
    2 b/x + 1 = 0 of the same section, with x = w L/Z and b = w C Z, from its chain matrix.
    """
    require.positive(series_h=series_h, impedance_ohm=impedance_ohm, end_ohm=end_ohm)
    require.not_negative(frequency_hz=frequency_hz)
    share = min(1.0, 2 * math.pi * frequency_hz * series_h / impedance_ohm)
    raised = 2 / (1 + math.sqrt(1 - share**2))
    return raised * series_h / (2 * impedance_ohm * end_ohm)


def ladder_admittance_s(
    shunt_f: Sequence[Array | float], series_h: Sequence[Array | float], impedance_ohm: float, frequency_hz: Array
) -> Array:
    """Admittance in siemens of a line behind capacitors across it with inductances in series between them.

    Parameters: `shunt_f`, one more than of `series_h`, farads and henries from the far end, where the line of
    `impedance_ohm` goes on, to the near one; `frequency_hz`, hertz; shapes that broadcast.
    Returns complex numbers of the common shape. Raises ValueError unless impedance and frequencies are finite and above
    zero.

    Source: impedances in series and in parallel, any textbook (recalled).
    """
    require.positive(impedance_ohm=impedance_ohm, lowest_hz=float(np.min(frequency_hz)))
    omega = 2j * np.pi * frequency_hz
    seen = 1 / impedance_ohm + omega * shunt_f[0]
    for henry, farad in zip(series_h, shunt_f[1:], strict=True):
        seen = 1 / (omega * henry + 1 / seen) + omega * farad
    return np.asarray(seen)


def joined_return_loss_db(one_s: Array, other_s: Array) -> Array:
    """Return loss in decibels at either end of two networks without loss that are joined.

    Parameters: their admittances in siemens, complex, where they meet; shapes that broadcast.

    Source: power that a source with an admittance gives to another, 4 G1 G2/|Y1 + Y2|^2, any textbook (recalled): in a
    network without loss what does not pass there comes back at both ends.
    """
    reflected = np.abs(one_s - np.conj(other_s)) / np.abs(one_s + other_s)
    return np.asarray(-20 * np.log10(np.maximum(reflected, 10 ** (-MOST_RETURN_LOSS_DB / 20))))
