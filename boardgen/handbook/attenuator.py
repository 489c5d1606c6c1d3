"""Matched resistive pads, T and pi, and what a pad built of real resistors does."""

import math

from msgspec import Struct

from boardgen.handbook import require


class Pad(Struct, frozen=True):
    """Resistors of a symmetrical pad in ohms: a T has two in series and one across, a pi the reverse."""

    series_ohm: float
    shunt_ohm: float


class Achieved(Struct, frozen=True):
    """Loss in dB and magnitude of the reflection coefficient of a pad between equal terminations."""

    loss_db: float
    reflection: float


def tee(attenuation_db: float, z0_ohm: float) -> Pad:
    """Matched T pad: two series arms of Z0 (K-1)/(K+1) and a shunt of Z0 2K/(K^2-1), K = 10^(A/20).

    Raises ValueError unless both arguments are finite and above zero.

    Source: amateur and engineering handbooks, attenuator pages (recalled).
    """
    ratio = _voltage_ratio(attenuation_db, z0_ohm)
    return Pad(z0_ohm * (ratio - 1) / (ratio + 1), z0_ohm * 2 * ratio / (ratio**2 - 1))


def pi(attenuation_db: float, z0_ohm: float) -> Pad:
    """Matched pi pad: a series arm of Z0 (K^2-1)/(2K) and two shunts of Z0 (K+1)/(K-1), K = 10^(A/20).

    Raises ValueError unless both arguments are finite and above zero.

    Source: amateur and engineering handbooks, attenuator pages (recalled).
    """
    ratio = _voltage_ratio(attenuation_db, z0_ohm)
    return Pad(z0_ohm * (ratio**2 - 1) / (2 * ratio), z0_ohm * (ratio + 1) / (ratio - 1))


def tee_achieved(pad: Pad, z0_ohm: float) -> Achieved:
    """What a T of any two resistor values does between terminations of `z0_ohm`.

    Raises ValueError unless every resistance is finite and above zero.

    Source: two-port textbook, chain matrix of series, shunt, series (recalled).
    """
    require.positive(series_ohm=pad.series_ohm, shunt_ohm=pad.shunt_ohm, z0_ohm=z0_ohm)
    ends = 1 + pad.series_ohm / pad.shunt_ohm
    return _achieved(ends, pad.series_ohm * (1 + ends), 1 / pad.shunt_ohm, z0_ohm)


def pi_achieved(pad: Pad, z0_ohm: float) -> Achieved:
    """What a pi of any two resistor values does between terminations of `z0_ohm`.

    Raises ValueError unless every resistance is finite and above zero.

    Source: two-port textbook, chain matrix of shunt, series, shunt (recalled).
    """
    require.positive(series_ohm=pad.series_ohm, shunt_ohm=pad.shunt_ohm, z0_ohm=z0_ohm)
    ends = 1 + pad.series_ohm / pad.shunt_ohm
    return _achieved(ends, pad.series_ohm, (1 + ends) / pad.shunt_ohm, z0_ohm)


def _voltage_ratio(attenuation_db: float, z0_ohm: float) -> float:
    require.positive(attenuation_db=attenuation_db, z0_ohm=z0_ohm)
    return math.pow(10, attenuation_db / 20)


def _achieved(a: float, b_ohm: float, c_s: float, z0_ohm: float) -> Achieved:
    """Loss and reflection of a symmetrical chain matrix [a, b; c, a]."""
    total = 2 * a + b_ohm / z0_ohm + c_s * z0_ohm
    return Achieved(20 * math.log10(total / 2), abs(b_ohm / z0_ohm - c_s * z0_ohm) / total)
