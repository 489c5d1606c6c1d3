"""Relay coils over temperature: resistance and operate voltage.

The temperature meant is that of the coil, surroundings and self heating together. The operate current does not
change with it, so the operate voltage follows the resistance.
"""

from boardgen.handbook import require, wire


def resistance_at(ohm_20c: float, temperature_c: float) -> float:
    """Resistance in ohms at `temperature_c`, degrees Celsius, of a coil of `ohm_20c` at 20 C.

    Raises ValueError when the resistance is not a finite number above zero, or for the temperature as
    `wire.temperature_factor` does.

    Source: relay maker's application note 13C9135, R20 (1 + 0.00393 (T - 20)) (read).
    """
    require.positive(ohm_20c=ohm_20c)
    return ohm_20c * wire.temperature_factor(temperature_c)


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
