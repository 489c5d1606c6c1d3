"""Series resistor of a light-emitting diode."""

from boardgen.handbook import require


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
