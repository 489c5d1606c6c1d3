"""Relay coils and their suppression: limiting cases and properties."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boardgen.handbook import coil, suppression

TEMPERATURES = st.floats(-60, 150)
CURRENTS = st.floats(1e-3, 1)
OHMS = st.floats(1, 1e4)


@given(OHMS, TEMPERATURES, TEMPERATURES)
def test_there_and_back_is_the_same_resistance(ohm, from_c, to_c):
    there = coil.resistance_between(ohm, from_c, to_c)
    assert coil.resistance_between(there, to_c, from_c) == pytest.approx(ohm)


@given(OHMS, TEMPERATURES)
def test_both_forms_agree(ohm, temperature_c):
    exact = coil.resistance_between(ohm, 20, temperature_c)
    assert coil.resistance_at(ohm, temperature_c) == pytest.approx(exact, rel=3e-4)


@given(st.floats(5, 30), st.floats(0, 1), OHMS, st.floats(3, 12), st.floats(-40, 99))
def test_hotter_coil_bears_less_line(supply_v, drops_v, coil_ohm, operate_v, temperature_c):
    here = coil.allowed_loop_ohm(supply_v, drops_v, coil_ohm, operate_v, temperature_c)
    assert coil.allowed_loop_ohm(supply_v, drops_v, coil_ohm, operate_v, temperature_c + 1) < here


@given(st.floats(5, 30), OHMS, st.floats(3, 12), st.floats(-40, 100))
def test_allowed_loop_puts_the_operate_voltage_on_the_coil(supply_v, coil_ohm, operate_v, temperature_c):
    loop_ohm = coil.allowed_loop_ohm(supply_v, 0, coil_ohm, operate_v, temperature_c)
    warm_ohm = coil.resistance_at(coil_ohm, temperature_c)
    at_coil_v = supply_v * warm_ohm / (warm_ohm + loop_ohm)
    assert at_coil_v == pytest.approx(coil.operate_voltage_at(operate_v, temperature_c))


def test_unpowered_coil_is_at_ambient():
    assert coil.coil_temperature(-30, 150, 0) == -30


@given(CURRENTS, st.floats(0.01, 1), OHMS, st.floats(1e-3, 10), st.floats(0, 1))
def test_decay_time_and_current_are_inverse(start_a, fraction, resistance_ohm, inductance_h, forward_v):
    end_a = start_a * fraction
    time_s = suppression.decay_time_s(end_a, start_a, resistance_ohm, inductance_h, forward_v)
    got = suppression.decay_current_a(time_s, start_a, resistance_ohm, inductance_h, forward_v)
    assert got == pytest.approx(end_a, rel=1e-6)


def test_current_starts_full_and_ends_at_zero():
    assert suppression.decay_current_a(0, 0.0117, 1028, 1.0, 0.7) == pytest.approx(0.0117)
    assert suppression.decay_current_a(1.0, 0.0117, 1028, 1.0, 0.7) == 0


def test_rising_current_is_refused():
    with pytest.raises(ValueError, match="end_a"):
        suppression.decay_time_s(0.02, 0.01, 1028, 1.0, 0.7)


def test_drive_below_the_base_voltage_is_refused():
    with pytest.raises(ValueError, match="drive_v"):
        suppression.base_resistor_ohm(0.5, 0.75, 0.01)


@pytest.mark.parametrize(("from_c", "to_c"), [(-234.5, 20), (20, -300), (math.nan, 20), (20, math.inf)])
def test_temperature_without_resistance_is_refused(from_c, to_c):
    with pytest.raises(ValueError, match=r"from_c|to_c"):
        coil.resistance_between(100, from_c, to_c)
