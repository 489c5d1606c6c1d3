"""Reactance and chokes: limiting cases and properties."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boardgen.handbook import reactance

FREQUENCIES = st.floats(1e4, 1e8)
INDUCTANCES = st.floats(1e-8, 1e-1)
CAPACITANCES = st.floats(1e-13, 1e-5)


def resonance_hz(inductance_h, capacitance_f):
    return 1 / (2 * math.pi * math.sqrt(inductance_h) * math.sqrt(capacitance_f))


@given(INDUCTANCES, CAPACITANCES)
def test_reactances_are_equal_at_resonance(inductance_h, capacitance_f):
    at_hz = resonance_hz(inductance_h, capacitance_f)
    coil_ohm = reactance.inductive(at_hz, inductance_h)
    assert coil_ohm == pytest.approx(reactance.capacitive(at_hz, capacitance_f))
    assert reactance.resonant_capacitance(inductance_h, at_hz) == pytest.approx(capacitance_f)


@given(FREQUENCIES, INDUCTANCES, CAPACITANCES)
def test_reactance_moves_one_way_with_frequency(frequency_hz, inductance_h, capacitance_f):
    above_hz = frequency_hz * 1.1
    assert reactance.inductive(above_hz, inductance_h) > reactance.inductive(frequency_hz, inductance_h)
    assert reactance.capacitive(above_hz, capacitance_f) < reactance.capacitive(frequency_hz, capacitance_f)


@given(INDUCTANCES, CAPACITANCES, st.floats(0.01, 0.99))
def test_effective_reactance_changes_sign_at_resonance(inductance_h, capacitance_f, ratio):
    at_hz = resonance_hz(inductance_h, capacitance_f)
    below = reactance.effective_reactance(at_hz * ratio, inductance_h, capacitance_f)
    above = reactance.effective_reactance(at_hz / ratio, inductance_h, capacitance_f)
    assert below >= reactance.inductive(at_hz * ratio, inductance_h)
    assert above < 0


@given(FREQUENCIES, INDUCTANCES, st.floats(0, 1e3), CAPACITANCES, st.floats(1, 1e6))
def test_choke_is_passive_and_below_its_parallel_resistance(frequency_hz, inductance_h, dc_ohm, stray_f, loss_ohm):
    impedance = reactance.choke_impedance(frequency_hz, inductance_h, dc_ohm, stray_f, loss_ohm)
    assert impedance.real >= 0
    assert abs(impedance) <= loss_ohm * (1 + 1e-9)


@given(FREQUENCIES, INDUCTANCES, st.floats(0, 1e3))
def test_choke_without_strays_is_coil_and_resistance(frequency_hz, inductance_h, dc_ohm):
    got = reactance.choke_impedance(frequency_hz, inductance_h, dc_ohm, 0)
    expected = complex(dc_ohm, reactance.inductive(frequency_hz, inductance_h))
    assert abs(got - expected) <= 1e-9 * abs(expected)


def test_choke_at_resonance_is_its_parallel_resistance():
    at_hz = resonance_hz(100e-6, 8.69e-12)
    assert abs(reactance.choke_impedance(at_hz, 100e-6, 0, 8.69e-12, 47e3)) == pytest.approx(47e3)


def test_lossless_resonance_is_infinite():
    frequency_hz = 1 / (2 * math.pi)
    assert abs(reactance.effective_reactance(frequency_hz, 1, 1)) > 1e12
    assert abs(reactance.choke_impedance(frequency_hz, 1, 0, 1)) > 1e12


@pytest.mark.parametrize("parallel_ohm", [0, -1, math.nan])
def test_parallel_resistance_of_nothing_is_refused(parallel_ohm):
    with pytest.raises(ValueError, match="parallel_ohm"):
        reactance.choke_impedance(1e6, 1e-4, 1, 1e-12, parallel_ohm)
