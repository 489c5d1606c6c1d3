"""Resistive attenuators of equal ends in pi form: a shunt at each end and a series resistor between them.

Source: textbook (recalled). With K = 10^(L/20) for a loss of L dB: shunts Z0 (K + 1)/(K - 1), series
Z0 (K^2 - 1)/(2 K); loss and reflection of given resistors by their chain matrix.
"""

import math

from boardgen.handbook import require


def pi_ohm(loss_db: float, z0_ohm: float) -> tuple[float, float]:
    """Shunt and series resistor in ohm of an attenuator matched to `z0_ohm` at both ends.

    Raises ValueError when an argument is not a finite number above zero.
    """
    require.positive(loss_db=loss_db, z0_ohm=z0_ohm)
    ratio = 10 ** (loss_db / 20)
    return z0_ohm * (ratio + 1) / (ratio - 1), z0_ohm * (ratio**2 - 1) / (2 * ratio)


def loss_db(shunt_ohm: float, series_ohm: float, z0_ohm: float) -> float:
    """Insertion loss in dB of two equal shunts with a series resistor between them, between ends of `z0_ohm`.

    Raises ValueError when an argument is not a finite number above zero.
    """
    require.positive(shunt_ohm=shunt_ohm, series_ohm=series_ohm, z0_ohm=z0_ohm)
    ends = 2 * (1 + series_ohm / shunt_ohm)
    across = z0_ohm * (2 + series_ohm / shunt_ohm) / shunt_ohm
    return 20 * math.log10((ends + series_ohm / z0_ohm + across) / 2)


def return_loss_db(shunt_ohm: float, series_ohm: float, z0_ohm: float) -> float:
    """Return loss in dB at either end of the same, the other end in `z0_ohm`; infinite where it is matched.

    Raises ValueError when an argument is not a finite number above zero.
    """
    require.positive(shunt_ohm=shunt_ohm, series_ohm=series_ohm, z0_ohm=z0_ohm)
    behind = series_ohm + 1 / (1 / shunt_ohm + 1 / z0_ohm)
    into = 1 / (1 / shunt_ohm + 1 / behind)
    reflected = abs(into - z0_ohm) / (into + z0_ohm)
    return -20 * math.log10(reflected) if reflected else math.inf
