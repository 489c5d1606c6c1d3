"""Windings: limiting cases and properties."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boardgen.handbook import winding
from boardgen.handbook.constants import MAGNETIC_CONSTANT_H_PER_M

SIZES = st.floats(1e-9, 1e-3)
PARTS = st.floats(-1e6, 1e6).filter(lambda part: part == 0 or abs(part) > 1e-6)


@given(SIZES, st.floats(1, 10000), st.floats(1e4, 1e8))
def test_lossless_core_is_its_inductance(al_h, permeability, frequency_hz):
    path_constant_m = al_h / (MAGNETIC_CONSTANT_H_PER_M * permeability)
    impedance = winding.impedance(frequency_hz, path_constant_m, 3, complex(permeability, 0))
    assert impedance.imag == pytest.approx(2 * math.pi * frequency_hz * winding.inductance(al_h, 3))
    assert impedance.real == 0


@given(PARTS, PARTS)
def test_parallel_equivalents_recombine(resistance_ohm, reactance_ohm):
    impedance = complex(resistance_ohm, reactance_ohm)
    if impedance == 0:
        return
    parallel_r, parallel_x = winding.parallel_equivalents(impedance)
    admittance = 1 / parallel_r + (1 / complex(0, parallel_x) if math.isfinite(parallel_x) else 0)
    assert abs(1 / admittance - impedance) <= 1e-9 * abs(impedance)


def test_parallel_equivalents_of_a_pure_part():
    assert winding.parallel_equivalents(complex(75, 0)) == (75, math.inf)
    assert winding.parallel_equivalents(complex(0, -300)) == (math.inf, -300)


@given(st.floats(1e4, 1e7), st.floats(-200, 5000), st.floats(-5000, 0))
def test_a_winding_never_gives_power(frequency_hz, mu_real, mu_imag):
    """Negative mu' makes the winding capacitive, not active."""
    assert winding.impedance(frequency_hz, 0.002, 4, complex(mu_real, mu_imag)).real >= 0


@pytest.mark.parametrize("wrong", [complex(1000, 5), complex(math.nan, 0), complex(math.inf, -1)])
def test_permeability_of_the_wrong_form_is_refused(wrong):
    with pytest.raises(ValueError, match="mu'"):
        winding.impedance(1.8e6, 0.002, 3, wrong)


@pytest.mark.parametrize("wrong", [complex(0, 0), complex(math.inf, 1), complex(1, math.nan)])
def test_impedance_without_equivalents_is_refused(wrong):
    with pytest.raises(ValueError, match="impedance"):
        winding.parallel_equivalents(wrong)
