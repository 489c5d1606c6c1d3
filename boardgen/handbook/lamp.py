"""Series resistor of a light-emitting diode."""

from collections.abc import Mapping
from typing import Final

from boardgen.handbook import require

FORWARD_V: Final[Mapping[str, float]] = {
    "red": 1.8,
    "green": 2.1,
    "yellow": 2.1,
    "white": 3.0,
    "blue": 3.0,
}
"""Typical volts by colour. Source: makers' sheets (recalled)."""


def series_resistor_ohm(supply_v: float, forward_v: float, current_a: float) -> float:
    """Ohms that let `current_a` amperes through a lamp of `forward_v` volts: (V - V_F)/I.

    Raises ValueError when an argument is not a finite number above zero, or the supply does not exceed the lamp.

    Source: Ohm's law, with examples in the encyclopaedia article on such circuits (read).
    """
    require.positive(supply_v=supply_v, forward_v=forward_v, current_a=current_a)
    if supply_v <= forward_v:
        message = f"supply_v of {supply_v} must exceed forward_v of {forward_v}"
        raise ValueError(message)
    return (supply_v - forward_v) / current_a


def power_w(current_a: float, resistance_ohm: float) -> float:
    """Watts turned into heat by `resistance_ohm` carrying `current_a` amperes: I^2 R.

    Raises ValueError when an argument is negative or not finite.

    Source: physics textbook (recalled).
    """
    require.not_negative(current_a=current_a, resistance_ohm=resistance_ohm)
    return current_a**2 * resistance_ohm
