"""Reactance of coils and capacitors, resonance, and a choke with its losses and stray capacitance."""

import math

from boardgen.handbook import require


def inductive(frequency_hz: float, inductance_h: float) -> float:
    """Reactance in ohms of a coil, 2 pi f L.

    Raises ValueError unless both arguments are finite and above zero.

    Source: circuit textbook (recalled).
    """
    require.positive(frequency_hz=frequency_hz, inductance_h=inductance_h)
    return 2 * math.pi * frequency_hz * inductance_h


def capacitive(frequency_hz: float, capacitance_f: float) -> float:
    """Magnitude in ohms of the reactance of a capacitor, 1/(2 pi f C).

    Raises ValueError unless both arguments are finite and above zero.

    Source: circuit textbook (recalled).
    """
    require.positive(frequency_hz=frequency_hz, capacitance_f=capacitance_f)
    return 1 / (2 * math.pi * frequency_hz * capacitance_f)


def resonant_capacitance(inductance_h: float, self_resonance_hz: float) -> float:
    """Stray capacitance in farads of a coil, from its self resonance: 1/((2 pi f)^2 L).

    Raises ValueError unless both arguments are finite and above zero.

    Source: circuit textbook (recalled).
    """
    require.positive(inductance_h=inductance_h, self_resonance_hz=self_resonance_hz)
    return 1 / ((2 * math.pi * self_resonance_hz) ** 2 * inductance_h)


def effective_reactance(frequency_hz: float, inductance_h: float, capacitance_f: float) -> float:
    """Signed reactance in ohms of a lossless coil with its stray capacitance: w L/(1 - w^2 L C).

    Negative (capacitive) above the self resonance, infinite exactly at it; `capacitance_f` may be zero. Raises
    ValueError when another argument is not a finite number above zero.

    Source: circuit textbook (recalled).
    """
    require.not_negative(capacitance_f=capacitance_f)
    coil_ohm = inductive(frequency_hz, inductance_h)
    detuning = 1 - coil_ohm * (2 * math.pi * frequency_hz * capacitance_f)
    return coil_ohm / detuning if detuning else math.inf


def choke_impedance(
    frequency_hz: float,
    inductance_h: float,
    dc_ohm: float,
    capacitance_f: float,
    parallel_ohm: float = math.inf,
) -> complex:
    """Impedance in ohms of a choke: (R_dc + j w L) beside its capacitance beside its loss resistance.

    `dc_ohm` and `capacitance_f` may be zero and `parallel_ohm` infinite, each for "absent"; a choke without any
    loss is infinite exactly at resonance. Raises ValueError when an argument is otherwise not finite, is
    negative, or is a frequency, inductance or parallel resistance of zero.

    Source: circuit textbook (recalled).
    """
    require.not_negative(dc_ohm=dc_ohm, capacitance_f=capacitance_f)
    if not parallel_ohm > 0:
        message = f"parallel_ohm must be above zero, or infinite for none, not {parallel_ohm}"
        raise ValueError(message)
    coil = complex(dc_ohm, inductive(frequency_hz, inductance_h))
    stray_s = 2j * math.pi * frequency_hz * capacitance_f
    admittance_s = 1 / coil + stray_s + 1 / parallel_ohm
    return 1 / admittance_s if admittance_s else complex(math.inf, 0)
