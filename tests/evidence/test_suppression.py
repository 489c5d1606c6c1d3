"""Coil suppression and drivers against worked cases."""

import pytest

from boardgen.handbook import suppression


def test_decay_to_a_tenth():
    """Circuit textbook: 11.67 mA, 1028 ohm, 1.0 H, 0.7 V: 1.848 ms to 1.167 mA."""
    got = suppression.decay_time_s(1.167e-3, 11.67e-3, 1028, 1.0, 0.7)
    assert got == pytest.approx(1.848e-3, rel=5e-3)
    assert suppression.decay_current_a(1.848e-3, 11.67e-3, 1028, 1.0, 0.7) == pytest.approx(1.167e-3, rel=5e-3)


def test_base_resistor():
    """Common practice, gain forced to 10: 5 V, 0.75 V, 11.67 mA give 3.64 kohm."""
    assert suppression.base_resistor_ohm(5, 0.75, 11.67e-3) == pytest.approx(3640, rel=5e-3)


@pytest.mark.parametrize(
    ("part", "volts", "amperes"),
    [
        ("silicon diode", (0.65, 0.75), (0.010, 0.010)),
        ("Schottky diode", (0.2, 0.3), (0.010, 0.010)),
        ("saturated NPN transistor", (0.1, 0.2), (0.010, 0.010)),
        ("Darlington driver", (0.75, 0.9), (0.010, 0.100)),
        ("base of an NPN transistor", (0.65, 0.85), (0.010, 0.010)),
    ],
)
def test_typical_drops(part, volts, amperes):
    """Makers' sheets of 2N3904, ULN2003A, 1N4148, 1N4007, as recalled: common practice."""
    (drop,) = [each for each in suppression.DROPS if each.part == part]
    assert (drop.low_v, drop.high_v) == volts
    assert (drop.low_a, drop.high_a) == amperes
    assert drop.standing == "recalled"
