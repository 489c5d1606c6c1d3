"""Every formula refuses arguments that mean nothing, by name, in a sentence."""

import math

import pytest

from boardgen.handbook import (
    coil,
    coplanar,
    data_cable,
    holes,
    lamp,
    reactance,
    stray,
    surge,
    track,
    winding,
    wire,
)

# a formula, and arguments that it accepts
CALLS = [
    (winding.inductance, {"al_h": 8.5e-6, "turns": 3}),
    (winding.impedance, {"frequency_hz": 1.8e6, "path_constant_m": 0.002, "turns": 3, "permeability": 1542 - 1273j}),
    (reactance.inductive, {"frequency_hz": 1.8e6, "inductance_h": 1e-4}),
    (reactance.capacitive, {"frequency_hz": 1.8e6, "capacitance_f": 1e-7}),
    (reactance.resonant_capacitance, {"inductance_h": 1e-4, "self_resonance_hz": 5e6}),
    (reactance.effective_reactance, {"frequency_hz": 1.8e6, "inductance_h": 1e-4, "capacitance_f": 1e-11}),
    (
        reactance.choke_impedance,
        {"frequency_hz": 1.8e6, "inductance_h": 1e-4, "dc_ohm": 1, "capacitance_f": 1e-11, "parallel_ohm": 1e4},
    ),
    (stray.plate_capacitance_f, {"area_m2": 1e-4, "gap_m": 1.6e-3, "relative_permittivity": 4.4}),
    (coplanar.pair_inductance_h_per_m, {"width_m": 1.5e-3, "gap_m": 1e-3}),
    (wire.resistance_ohm_per_m, {"area_m2": 1e-6, "temperature_c": 20}),
    (wire.temperature_factor, {"temperature_c": 20}),
    (data_cable.at_temperature, {"ohm_at_20c": 9.38, "temperature_c": 20}),
    (coil.resistance_at, {"ohm_20c": 1028, "temperature_c": 70}),
    (coil.operate_voltage_at, {"volts_20c": 9, "temperature_c": 70}),
    (coil.coil_temperature, {"ambient_c": 50, "thermal_resistance_k_per_w": 150, "power_w": 0.14}),
    (lamp.series_resistor_ohm, {"supply_v": 12, "forward_v": 2, "current_a": 2e-3}),
    (track.current_a, {"width_m": 1e-3, "thickness_m": 35e-6, "rise_k": 10, "layer": "external"}),
    (track.width_m, {"current_a": 1, "rise_k": 10, "thickness_m": 35e-6, "layer": "external"}),
    (holes.hole_m, {"lead_m": 1e-3, "level": "B"}),
    (holes.land_m, {"hole_m": 1e-3, "level": "B"}),
    (surge.action_integral_a2s, {"peak_a": 5000}),
    (surge.track_width_m, {"peak_a": 5000, "thickness_m": 35e-6, "start_c": 20, "end_c": 260}),
]

# arguments for which zero means "none of it"
MAY_BE_ZERO = {
    (reactance.effective_reactance, "capacitance_f"),
    (reactance.choke_impedance, "dc_ohm"),
    (reactance.choke_impedance, "capacitance_f"),
    (data_cable.at_temperature, "ohm_at_20c"),
    (coil.coil_temperature, "thermal_resistance_k_per_w"),
    (coil.coil_temperature, "power_w"),
}

NAMED = [
    pytest.param(function, arguments, name, id=f"{function.__module__.rsplit('.', 1)[1]}.{function.__name__}-{name}")
    for function, arguments in CALLS
    for name, value in arguments.items()
    if not isinstance(value, str)
]
# a temperature may take any sign, and mu' may be negative
AMOUNTS = [case for case in NAMED if not case.values[2].endswith("_c") and case.values[2] != "permeability"]


@pytest.mark.parametrize(("function", "arguments", "name"), NAMED)
def test_not_a_number_is_refused_by_name(function, arguments, name):
    with pytest.raises(ValueError, match=name):
        function(**arguments | {name: math.nan})


@pytest.mark.parametrize(("function", "arguments", "name"), [c for c in NAMED if c.values[2] != "parallel_ohm"])
def test_infinity_is_refused_by_name(function, arguments, name):
    with pytest.raises(ValueError, match=name):
        function(**arguments | {name: math.inf})


@pytest.mark.parametrize(("function", "arguments", "name"), AMOUNTS)
def test_negative_amount_is_refused_by_name(function, arguments, name):
    with pytest.raises(ValueError, match=name):
        function(**arguments | {name: -1.0})


@pytest.mark.parametrize(("function", "arguments", "name"), AMOUNTS)
def test_zero_is_refused_unless_it_means_none(function, arguments, name):
    if (function, name) in MAY_BE_ZERO:
        assert math.isfinite(abs(function(**arguments | {name: 0})))
    else:
        with pytest.raises(ValueError, match=name):
            function(**arguments | {name: 0})
