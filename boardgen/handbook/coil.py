"""Relay coils over temperature: resistance, operate voltage, and the line they can bear.

The temperature meant is that of the coil, surroundings and self heating together. The operate current does not
change with it, so the operate voltage follows the resistance.
"""

from typing import Final

from boardgen.handbook import require, wire

ZERO_RESISTANCE_BELOW_C: Final = 234.5
"""Degrees below 0 C at which the straight line of copper resistance meets zero.

Source: relay makers' notes on coil temperature (read)."""


def resistance_at(ohm_20c: float, temperature_c: float) -> float:
    """Resistance in ohms at `temperature_c`, degrees Celsius, of a coil of `ohm_20c` at 20 C.

    Raises ValueError when the resistance is not a finite number above zero, or for the temperature as
    `wire.temperature_factor` does.

    Source: relay maker's application note 13C9135, R20 (1 + 0.00393 (T - 20)) (read).
    """
    require.positive(ohm_20c=ohm_20c)
    return ohm_20c * wire.temperature_factor(temperature_c)


def resistance_between(ohm: float, from_c: float, to_c: float) -> float:
    """Resistance in ohms at `to_c` of a copper coil of `ohm` at `from_c`, both degrees Celsius.

    Exact form, R (234.5 + T2)/(234.5 + T1). Raises ValueError when the resistance is not a finite number above
    zero, or a temperature is not finite or is -234.5 C or below.

    Source: relay makers' notes on coil temperature (read).
    """
    require.positive(ohm=ohm)
    for name, temperature_c in (("from_c", from_c), ("to_c", to_c)):
        require.finite(**{name: temperature_c})
        if temperature_c <= -ZERO_RESISTANCE_BELOW_C:
            message = f"{name} must be above {-ZERO_RESISTANCE_BELOW_C} C, not {temperature_c}"
            raise ValueError(message)
    return ohm * (ZERO_RESISTANCE_BELOW_C + to_c) / (ZERO_RESISTANCE_BELOW_C + from_c)


def operate_voltage_at(volts_20c: float, temperature_c: float) -> float:
    """Volts a coil needs to operate at `temperature_c`, degrees Celsius, from that at 20 C.

    Raises ValueError when the voltage is not a finite number above zero, or for the temperature as
    `wire.temperature_factor` does.

    Source: relay maker's application note 13C9135 (read).
    """
    require.positive(volts_20c=volts_20c)
    return volts_20c * wire.temperature_factor(temperature_c)


def coil_temperature(ambient_c: float, thermal_resistance_k_per_w: float, power_w: float) -> float:
    """Temperature in degrees Celsius of a coil that turns `power_w` watts into heat.

    Raises ValueError when an argument is not finite, or the thermal resistance or power is negative.

    Source: relay makers' sheets, which state 125 to 150 kelvin per watt for small signal relays (read).
    """
    require.finite(ambient_c=ambient_c)
    require.not_negative(thermal_resistance_k_per_w=thermal_resistance_k_per_w, power_w=power_w)
    return ambient_c + thermal_resistance_k_per_w * power_w


def allowed_loop_ohm(
    supply_v: float,
    drops_v: float,
    coil_ohm_20c: float,
    operate_v_20c: float,
    coil_temperature_c: float,
) -> float:
    """Ohms of conductor, out and back, through which a coil still operates: (V - drops - V_op(T)) / I_op.

    `drops_v` is the sum of diode and driver drops. Negative when the coil would not operate with no line at
    all. Raises ValueError when a voltage or the resistance is not a finite number above zero (`drops_v` may be
    zero), or for the temperature as `wire.temperature_factor` does.

    Source: Ohm's law (recalled).
    """
    require.positive(supply_v=supply_v, coil_ohm_20c=coil_ohm_20c, operate_v_20c=operate_v_20c)
    require.not_negative(drops_v=drops_v)
    require.finite(coil_temperature_c=coil_temperature_c)
    spare_v = supply_v - drops_v - operate_voltage_at(operate_v_20c, coil_temperature_c)
    operate_a = operate_v_20c / coil_ohm_20c
    return spare_v / operate_a
