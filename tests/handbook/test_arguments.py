"""Every formula refuses arguments that mean nothing, by name, in a sentence."""

import math

import pytest

from boardgen.handbook import (
    attenuator,
    coil,
    common_mode,
    coplanar,
    data_cable,
    holes,
    lamp,
    loss,
    reactance,
    stray,
    suppression,
    surge,
    track,
    winding,
    wire,
)

# a formula, and arguments that it accepts
CALLS = [
    (winding.inductance, {"al_h": 8.5e-6, "turns": 3}),
    (winding.turns_for, {"inductance_h": 1e-4, "al_h": 8.5e-6}),
    (winding.rule_of_thumb_turns, {"impedance_ohm": 75, "lowest_hz": 1.8e6, "al_h": 8.5e-6, "factor": 4}),
    (winding.path_constant, {"al_h": 8.5e-6, "initial_permeability": 2500}),
    (winding.impedance, {"frequency_hz": 1.8e6, "path_constant_m": 0.002, "turns": 3, "permeability": 1542 - 1273j}),
    (loss.isolation_db, {"capacitance_f": 1e-12, "frequency_hz": 1.8e6, "z0_ohm": 75}),
    (reactance.inductive, {"frequency_hz": 1.8e6, "inductance_h": 1e-4}),
    (reactance.capacitive, {"frequency_hz": 1.8e6, "capacitance_f": 1e-7}),
    (reactance.resonance_hz, {"inductance_h": 1e-4, "capacitance_f": 1e-11}),
    (reactance.resonant_capacitance, {"inductance_h": 1e-4, "self_resonance_hz": 5e6}),
    (reactance.effective_reactance, {"frequency_hz": 1.8e6, "inductance_h": 1e-4, "capacitance_f": 1e-11}),
    (
        reactance.choke_impedance,
        {"frequency_hz": 1.8e6, "inductance_h": 1e-4, "dc_ohm": 1, "capacitance_f": 1e-11, "parallel_ohm": 1e4},
    ),
    (attenuator.tee, {"attenuation_db": 6, "z0_ohm": 75}),
    (attenuator.pi, {"attenuation_db": 6, "z0_ohm": 75}),
    (stray.plate_capacitance_f, {"area_m2": 1e-4, "gap_m": 1.6e-3, "relative_permittivity": 4.4}),
    (coplanar.pair_inductance_h_per_m, {"width_m": 1.5e-3, "gap_m": 1e-3}),
    (common_mode.impedance_ohm, {"capacitance_f": 2e-11, "frequency_hz": 1.8e6}),
    (common_mode.rejection_db, {"common_mode_ohm": 4000, "loop_ohm": 50}),
    (wire.resistance_ohm_per_m, {"area_m2": 1e-6, "temperature_c": 20}),
    (wire.temperature_factor, {"temperature_c": 20}),
    (wire.skin_depth_m, {"frequency_hz": 1.8e6}),
    (data_cable.at_temperature, {"ohm_at_20c": 9.38, "temperature_c": 20}),
    (data_cable.drop_v, {"current_a": 0.0117, "out_ohm": 9.38, "return_ohm": 9.38, "energised": 1}),
    (coil.resistance_at, {"ohm_20c": 1028, "temperature_c": 70}),
    (coil.resistance_between, {"ohm": 1028, "from_c": 20, "to_c": 70}),
    (coil.operate_voltage_at, {"volts_20c": 9, "temperature_c": 70}),
    (coil.coil_temperature, {"ambient_c": 50, "thermal_resistance_k_per_w": 150, "power_w": 0.14}),
    (
        coil.allowed_loop_ohm,
        {"supply_v": 12, "drops_v": 0.9, "coil_ohm_20c": 1028, "operate_v_20c": 9, "coil_temperature_c": 70},
    ),
    (
        suppression.decay_current_a,
        {"t_s": 1e-3, "start_a": 0.0117, "resistance_ohm": 1028, "inductance_h": 1, "forward_v": 0.7},
    ),
    (
        suppression.decay_time_s,
        {"end_a": 1e-3, "start_a": 0.0117, "resistance_ohm": 1028, "inductance_h": 1, "forward_v": 0.7},
    ),
    (
        suppression.base_resistor_ohm,
        {"drive_v": 5, "base_emitter_v": 0.75, "collector_a": 0.0117, "forced_gain": 10},
    ),
    (lamp.series_resistor_ohm, {"supply_v": 12, "forward_v": 2, "current_a": 2e-3}),
    (lamp.power_w, {"current_a": 2e-3, "resistance_ohm": 5100}),
    (track.current_a, {"width_m": 1e-3, "thickness_m": 35e-6, "rise_k": 10, "layer": "external"}),
    (track.width_m, {"current_a": 1, "rise_k": 10, "thickness_m": 35e-6, "layer": "external"}),
    (holes.hole_m, {"lead_m": 1e-3, "level": "B"}),
    (holes.land_m, {"hole_m": 1e-3, "level": "B"}),
    (holes.diagonal_m, {"width_m": 5e-4, "thickness_m": 2.5e-4}),
    (surge.action_integral_a2s, {"peak_a": 5000}),
    (surge.melt_current_a, {"width_m": 1e-3, "thickness_m": 35e-6, "start_c": 20, "end_c": 1083}),
    (surge.track_width_m, {"peak_a": 5000, "thickness_m": 35e-6, "start_c": 20, "end_c": 260}),
]

# arguments for which zero means "none of it"
MAY_BE_ZERO = {
    (reactance.effective_reactance, "capacitance_f"),
    (reactance.choke_impedance, "dc_ohm"),
    (reactance.choke_impedance, "capacitance_f"),
    (common_mode.rejection_db, "common_mode_ohm"),
    (data_cable.at_temperature, "ohm_at_20c"),
    (data_cable.drop_v, "current_a"),
    (data_cable.drop_v, "out_ohm"),
    (data_cable.drop_v, "return_ohm"),
    (coil.coil_temperature, "thermal_resistance_k_per_w"),
    (coil.coil_temperature, "power_w"),
    (coil.allowed_loop_ohm, "drops_v"),
    (suppression.decay_current_a, "t_s"),
    (suppression.decay_current_a, "forward_v"),
    (suppression.decay_time_s, "forward_v"),
    (lamp.power_w, "current_a"),
    (lamp.power_w, "resistance_ohm"),
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
