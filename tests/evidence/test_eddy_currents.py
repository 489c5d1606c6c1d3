"""Skin effect and proximity against a published table and exact functions."""

import math

import mpmath
import numpy as np
import pytest

from boardgen.handbook import wire
from boardgen.handbook.eddy_currents import alternating_resistance_ratio


@pytest.mark.parametrize(
    ("x", "ratio"),
    [(0.5, 1.0003), (1, 1.005), (2, 1.078), (3, 1.318), (4, 1.678), (5, 2.043), (10, 3.799), (20, 7.328)],
)
def test_skin_effect_of_a_lone_wire(x, ratio):
    """By x, the square root of two times radius over depth: Terman, Radio Engineers' Handbook, table (recalled)."""
    radius_m = 1e-3
    frequency_hz = (x / math.sqrt(2) * wire.skin_depth_m(1.0) / radius_m) ** 2
    found = alternating_resistance_ratio(radius_m, 1.0, np.array([frequency_hz]))
    assert found[0] == pytest.approx(ratio, rel=0.015)


def at_depths(depths):
    """Our ratio for the wire's own current and what a field across adds, and both by Bessel functions of mpmath.

    x J0/(2 J1) is that of the wire's own current, -Im J2/J0 of a field across it.
    """
    radius_m = 0.2e-3
    frequency_hz = np.array([(depths * wire.skin_depth_m(1.0) / radius_m) ** 2])
    alone, crowded = (alternating_resistance_ratio(radius_m, many, frequency_hz)[0] for many in (1.0, 2.6))
    x = mpmath.mpc(1, -1) * depths
    own = (x * mpmath.besselj(0, x) / (2 * mpmath.besselj(1, x))).real
    across = -(mpmath.besselj(2, x) / mpmath.besselj(0, x)).imag * depths
    return (alone, (crowded - alone) / (1.6 * depths / 2)), (float(own), float(across))


@pytest.mark.parametrize("depths", [0.1, 0.3, 0.7, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 8.0, 30.0])
def test_eddy_currents_by_bessel_functions(depths):
    found, exact = at_depths(depths)
    assert found[0] == pytest.approx(exact[0], rel=0.015)
    assert found[1] == pytest.approx(exact[1], rel=0.05)


def test_limits_of_thin_and_thick_wires():
    """What is left over the first term of each limit, where the exact solutions have next to nothing else."""
    found, exact = at_depths(0.03)
    assert found[1] == pytest.approx(exact[1], rel=0.005)
    found, exact = at_depths(300.0)
    assert found[0] - 150 == pytest.approx(exact[0] - 150, rel=0.01)
    assert 1 - found[1] == pytest.approx(1 - exact[1], rel=0.01)
