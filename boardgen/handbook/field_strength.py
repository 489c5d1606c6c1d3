"""The field of a transmitter at a distance, and what an antenna takes from it.

A bound from above: ground, buildings and other directions only take away from it. It says nothing of the near field.
"""

import math
from typing import Final

from boardgen.handbook import require
from boardgen.handbook.coax import LIGHT_M_PER_S

SHORT_VERTICAL_DB: Final = 10 * math.log10(3.0)
"""Gain of a short vertical over perfect ground against an isotropic antenna in free space.

With it the formula gives 300 mV/m at 1 km from 1 kW, the unattenuated field that ITU-R P.368 refers to (recalled).
"""
FREE_SPACE_OHM: Final = 120 * math.pi
"""As ITU-R P.525 takes it."""


def field_v_per_m(watt: float, gain_db: float, distance_m: float) -> float:
    """Root-mean-square field in free space, V/m: sqrt(30 p g)/d.

    Parameters
    ----------
    watt : power given to the transmitting antenna
    gain_db : its gain toward here over an isotropic antenna
    distance_m : in metres

    Raises ValueError unless power and distance are finite and above zero, and the gain is finite.

    Source: ITU-R P.525 (recalled).

    """
    require.positive(watt=watt, distance_m=distance_m)
    require.finite(gain_db=gain_db)
    return math.sqrt(30 * watt * 10 ** (gain_db / 10)) / distance_m


def received_w(field: float, frequency_hz: float, gain_db: float) -> float:
    """Power in watts that a matched antenna of that gain over an isotropic one takes from a field in V/m.

    E^2/(120 pi) times the aperture, gain times wavelength squared over 4 pi.

    Raises ValueError unless field and frequency are finite and above zero, and the gain is finite.

    Source: ITU-R P.525 (recalled).
    """
    require.positive(field=field, frequency_hz=frequency_hz)
    require.finite(gain_db=gain_db)
    wavelength_m = LIGHT_M_PER_S / frequency_hz
    return field**2 / FREE_SPACE_OHM * 10 ** (gain_db / 10) * wavelength_m**2 / (4 * math.pi)


def near_field_m(frequency_hz: float) -> float:
    """The distance within which the near field of a short antenna is the stronger one, metres: wavelength over 2 pi.

    Raises ValueError unless the frequency is finite and above zero.

    Source: textbook (recalled).
    """
    require.positive(frequency_hz=frequency_hz)
    return LIGHT_M_PER_S / frequency_hz / (2 * math.pi)
