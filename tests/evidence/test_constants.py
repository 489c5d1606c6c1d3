"""Physical constants against what defines them."""

import math

import pytest

from boardgen.handbook import constants


def test_the_two_constants_give_the_speed_of_light():
    """SI Brochure, 9th edition: c is 299792458 m/s exactly, and mu0 e0 c^2 = 1."""
    product = constants.MAGNETIC_CONSTANT_H_PER_M * constants.ELECTRIC_CONSTANT_F_PER_M
    assert product * 299_792_458**2 == pytest.approx(1, rel=1e-9)


def test_the_two_constants_give_the_impedance_of_free_space():
    """CODATA: 376.730 ohm."""
    ratio = constants.MAGNETIC_CONSTANT_H_PER_M / constants.ELECTRIC_CONSTANT_F_PER_M
    assert math.sqrt(ratio) == pytest.approx(376.730, abs=0.001)


def test_electric_constant():
    """Physics textbook: 8.854 pF/m."""
    assert pytest.approx(8.854e-12, rel=1e-4, abs=0) == constants.ELECTRIC_CONSTANT_F_PER_M
