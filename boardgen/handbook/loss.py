"""Loss, match and isolation of one impedance across or along a matched line.

Both ends of the line are the real impedance `z0_ohm`.
"""

import math

from boardgen.handbook import reactance, require


def shunt_insertion_loss_db(shunt: complex, z0_ohm: float) -> float:
    """Insertion loss in dB of the impedance `shunt`, ohms, across the line: 20 log|1 + Z0/(2 Z)|.

    Raises ValueError when the impedance is zero, not finite or of negative resistance, or `z0_ohm` is not a
    finite number above zero.

    Source: two-port textbook (recalled).
    """
    _check_shunt(shunt, z0_ohm)
    return _decibels(1 + z0_ohm / (2 * shunt))


def shunt_return_loss_db(shunt: complex, z0_ohm: float) -> float:
    """Return loss in dB of the impedance `shunt`, ohms, across the line: Gamma = -Z0/(Z0 + 2 Z).

    Raises ValueError as `shunt_insertion_loss_db` does.

    Source: two-port textbook (recalled).
    """
    _check_shunt(shunt, z0_ohm)
    return _decibels(1 + 2 * shunt / z0_ohm)


def series_insertion_loss_db(series: complex, z0_ohm: float) -> float:
    """Insertion loss in dB of the impedance `series`, ohms, along the line: 20 log|1 + Z/(2 Z0)|.

    Raises ValueError when the impedance is not finite or of negative resistance, or `z0_ohm` is not a finite
    number above zero.

    Source: two-port textbook (recalled).
    """
    _check_series(series, z0_ohm)
    return _decibels(1 + series / (2 * z0_ohm))


def series_return_loss_db(series: complex, z0_ohm: float) -> float:
    """Return loss in dB of the impedance `series`, ohms, along the line: Gamma = Z/(Z + 2 Z0).

    Infinite for no impedance at all. Raises ValueError as `series_insertion_loss_db` does.

    Source: two-port textbook (recalled).
    """
    _check_series(series, z0_ohm)
    return _decibels(1 + 2 * z0_ohm / series) if series else math.inf


def isolation_db(capacitance_f: float, frequency_hz: float, z0_ohm: float) -> float:
    """Isolation in dB of an open contact bridged by `capacitance_f` farads alone, both sides terminated.

    A sheet that quotes the ratio of reactance to line impedance states 6 dB more. Raises ValueError unless
    every argument is finite and above zero.

    Source: two-port textbook, a series capacitor (recalled).
    """
    bridge = complex(0, -reactance.capacitive(frequency_hz, capacitance_f))
    return series_insertion_loss_db(bridge, z0_ohm)


def _check_shunt(shunt: complex, z0_ohm: float) -> None:
    require.positive(z0_ohm=z0_ohm)
    require.passive(shunt=shunt)
    if shunt == 0:
        raise ValueError("shunt must not be zero: a short across the line passes nothing")


def _check_series(series: complex, z0_ohm: float) -> None:
    require.positive(z0_ohm=z0_ohm)
    require.passive(series=series)


def _decibels(voltage_ratio: complex) -> float:
    return 20 * math.log10(abs(voltage_ratio))
