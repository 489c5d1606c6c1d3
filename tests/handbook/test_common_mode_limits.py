"""Common-mode rejection and stray capacitance: limiting cases and properties."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boardgen.handbook import common_mode, stray


@given(st.floats(1e-13, 1e-9), st.floats(1e5, 3e7), st.floats(1, 1000))
def test_rejection_falls_with_frequency(capacitance_f, frequency_hz, loop_ohm):
    low_db = common_mode.rejection_db(common_mode.impedance_ohm(capacitance_f, frequency_hz), loop_ohm)
    high_db = common_mode.rejection_db(common_mode.impedance_ohm(capacitance_f, 2 * frequency_hz), loop_ohm)
    assert 0 < high_db < low_db


def test_nothing_in_the_loop_rejects_nothing():
    assert common_mode.rejection_db(0, 50) == 0


def test_capacitance_is_a_negative_reactance():
    impedance = common_mode.impedance_ohm(20e-12, 1.8e6)
    assert impedance.real == 0
    assert impedance.imag < 0


@pytest.mark.parametrize("wrong", [complex(-1, 0), complex(math.nan, 0), complex(0, math.inf)])
def test_impedance_without_meaning_is_refused(wrong):
    with pytest.raises(ValueError, match="common_mode_ohm"):
        common_mode.rejection_db(wrong, 50)


@given(st.floats(1e-8, 1e-2), st.floats(1e-4, 1e-2), st.floats(1, 10))
def test_plates_scale(area_m2, gap_m, permittivity):
    here_f = stray.plate_capacitance_f(area_m2, gap_m, permittivity)
    assert stray.plate_capacitance_f(2 * area_m2, gap_m, permittivity) == pytest.approx(2 * here_f)
    assert stray.plate_capacitance_f(area_m2, 2 * gap_m, permittivity) == pytest.approx(here_f / 2)
