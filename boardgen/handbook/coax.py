"""Attenuation of coaxial cable from three constants: direct current, skin effect, dielectric."""

import cmath
import math
from collections.abc import Mapping
from typing import Final, NamedTuple

from boardgen.handbook import require

DECIBELS_A_NEPER: Final = 8.686
"""As the published model rounds it, 20 log e. Source: cable model read with the constants below."""
FEET_100_M: Final = 30.48
"""Metres in a hundred feet. Exact by definition."""
LIGHT_M_PER_S: Final = 299792458.0
"""Exact by definition."""


class Cable(NamedTuple):
    """Impedance in ohm, velocity factor, and K0, K1, K2 in dB a hundred feet (f in MHz)."""

    impedance_ohm: float
    velocity: float
    k0: float
    k1: float
    k2: float


CABLES: Final[Mapping[str, Cable]] = {
    "RG-6 copper centre": Cable(75.0, 0.83, 0.063697, 0.195292, 0.000071),
    "RG-6 steel centre": Cable(75.0, 0.83, 0.615093, 0.196584, 0.000190),
    "RG-6A": Cable(75.0, 0.66, 0.375388, 0.246660, 0.002253),
    "RG-59": Cable(75.0, 0.66, 0.594885, 0.319915, 0.001754),
    "RG-59 foam": Cable(75.0, 0.78, 0.603418, 0.280797, 0.002069),
    "RG-11 foam": Cable(75.0, 0.84, 0.190155, 0.113867, 0.001554),
    "RG-11A": Cable(75.0, 0.66, 0.042271, 0.199492, 0.000720),
    "RG-58A": Cable(51.5, 0.66, 0.118904, 0.321239, 0.004695),
    "RG-58C": Cable(50.0, 0.66, 0.129420, 0.403833, 0.008761),
    "RG-213": Cable(50.0, 0.66, 0.256179, 0.154587, 0.003135),
    "15 mm foam 75 ohm": Cable(75.0, 0.87, 0.014998, 0.070230, 0.000260),
}
"""Source: constants of a public transmission-line program's cable list (read). Steel-centre rows are upper bounds
below 5 MHz: K0 is a fit, not the direct-current resistance."""


def attenuation_db_per_m(cable: Cable, frequency_hz: float) -> float:
    """Matched attenuation in dB a metre: Re sqrt((Zi + j w L)(G + j w C)), Zi = sqrt(Rdc^2 + (Rhf (1 + j))^2).

    Raises ValueError unless the frequency is finite and above zero.

    Source: a public transmission-line program's cable model (read).
    """
    require.positive(frequency_hz=frequency_hz)
    megahertz, omega = frequency_hz / 1e6, 2 * math.pi * frequency_hz
    direct, skin, dielectric = (k / (FEET_100_M * DECIBELS_A_NEPER) for k in (cable.k0, cable.k1, cable.k2))
    direct_ohm = 2 * cable.impedance_ohm * direct
    skin_ohm = 2 * cable.impedance_ohm * skin * math.sqrt(megahertz)
    series = cmath.sqrt(direct_ohm**2 + (skin_ohm * (1 + 1j)) ** 2)
    speed = cable.velocity * LIGHT_M_PER_S
    along = series + 1j * omega * cable.impedance_ohm / speed
    across = 2 * dielectric * megahertz / cable.impedance_ohm + 1j * omega / (cable.impedance_ohm * speed)
    return cmath.sqrt(along * across).real * DECIBELS_A_NEPER
