"""Curves of diodes and suppressors by hand."""

import math

import pytest

from boardgen.direct_current import curves


def test_constants():
    """k / q from the exact constants of the SI, and 0 C by definition."""
    assert pytest.approx(1.380649e-23 / 1.602176634e-19, rel=1e-9) == curves.BOLTZMANN_OVER_CHARGE_V_PER_K
    assert curves.KELVIN_AT_0C == 273.15
    assert curves.LEAK_OHM == 1e9


def test_a_diode_leaks_up_to_its_threshold_and_goes_on_with_its_slope():
    points = curves.diode("D1", "a", "c", 0.6, 5.0).points
    assert points[0] == (-1.0, -1e-9)
    assert points[1] == (0.6, 0.6e-9)
    assert (points[2][1] - points[1][1]) / (points[2][0] - points[1][0]) == pytest.approx(1 / 5.0)


def test_a_suppressor_conducts_beyond_its_stand_off_voltage_in_both_directions():
    points = dict(curves.suppressor("D1", "a", "b", 15.0, 1.0, 10e6).points)
    assert points[15.0] == pytest.approx(15.0 / 10e6)
    assert points[-15.0] == pytest.approx(-15.0 / 10e6)
    assert points[16.0] == pytest.approx(1.0, rel=1e-5)
    assert points[-16.0] == pytest.approx(-1.0, rel=1e-5)


def test_shockley():
    """Shockley's equation by hand: 1 nA, n = 2, 25 C, 1 mA and 1 ohm."""
    ((volts, ampere),) = curves.exponential(1e-9, 2.0, 25.0, (1e-3,), 1.0)
    assert ampere == 1e-3
    assert volts == pytest.approx(2 * 8.617333262e-5 * 298.15 * math.log(1 + 1e6) + 1e-3, rel=1e-9)


@pytest.mark.parametrize(("threshold", "slope"), [(0.0, 1.0), (0.6, 0.0), (0.6, 2e9)])
def test_a_curve_that_bends_no_way_is_refused(threshold, slope):
    with pytest.raises(ValueError, match="D1"):
        curves.diode("D1", "a", "c", threshold, slope)
