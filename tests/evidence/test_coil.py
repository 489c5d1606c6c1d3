"""Relay coils over temperature against makers' notes."""

import pytest

from boardgen.handbook import coil


def warmed(at_25c, temperature_c):
    """What follows the resistance of copper, known at 25 C."""
    return at_25c / coil.resistance_at(1, 25) * coil.resistance_at(1, temperature_c)


@pytest.mark.parametrize(("temperature_c", "expected_ohm"), [(70, 1230), (-40, 786), (20, 1028)])
def test_resistance_of_a_12_v_coil(temperature_c, expected_ohm):
    """TE application note 13C9135: R20 (1 + 0.00393 (T - 20)), 1028 ohm."""
    assert coil.resistance_at(1028, temperature_c) == pytest.approx(expected_ohm, rel=2e-3)


def test_operate_voltage_of_a_hot_coil():
    """TE application note 13C9135: 9.0 V becomes 10.77 V at 70 C; 8.4 V becomes 10.05 V."""
    assert coil.operate_voltage_at(9.0, 70) == pytest.approx(10.77, rel=2e-3)
    assert coil.operate_voltage_at(8.4, 70) == pytest.approx(10.05, rel=2e-3)


def test_babcock_coil():
    """Babcock relay note: 320 ohm and 13.0 V at 25 C are 443.3 ohm and 18 V at 125 C."""
    assert warmed(320, 125) == pytest.approx(443.3, abs=0.1)
    assert warmed(13.0, 125) == pytest.approx(18.0, abs=0.05)


@pytest.mark.parametrize(("temperature_c", "expected_v"), [(85, 19.7), (100, 20.6), (-25, 12.9)])
def test_kilovac_operate_voltage(temperature_c, expected_v):
    """Kilovac relay note: 16 V at 25 C; the operate voltage follows the resistance."""
    assert warmed(16, temperature_c) == pytest.approx(expected_v, abs=0.05)


def test_leach_chart():
    """Leach application note 102, chart: 290 ohm at 25 C is 403.31 ohm at 125 C."""
    assert warmed(290, 125) == pytest.approx(403.31, abs=2)


@pytest.mark.parametrize(("thermal_k_per_w", "rise_k"), [(125, 17.5), (150, 21)])
def test_self_heating(thermal_k_per_w, rise_k):
    """Relay sheets AZ822 and TE IM, 125 to 150 K/W: 140 mW warms the coil by 18 to 21 K."""
    assert coil.coil_temperature(50, thermal_k_per_w, 0.140) - 50 == pytest.approx(rise_k, rel=1e-3)
