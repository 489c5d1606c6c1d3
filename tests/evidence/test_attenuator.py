"""Resistive pads against published tables."""

import pytest

from boardgen.handbook import attenuator

# dB, then T series, T shunt, pi shunt, pi series: at 50 ohm and at 75 ohm
TABLE = [
    (1, (2.88, 433.3, 869.6, 5.77), (4.31, 650.0, 1304, 8.65)),
    (2, (5.73, 215.2, 436.2, 11.61), (8.60, 322.9, 654.3, 17.42)),
    (3, (8.55, 141.9, 292.4, 17.61), (12.82, 212.9, 438.6, 26.42)),
    (4, (11.31, 104.8, 221.0, 23.85), (16.97, 157.2, 331.5, 35.77)),
    (5, (14.01, 82.24, 178.5, 30.40), (21.01, 123.4, 267.7, 45.60)),
    (6, (16.61, 66.93, 150.5, 37.35), (24.92, 100.4, 225.7, 56.03)),
    (8, (21.53, 47.31, 116.1, 52.84), (32.29, 70.96, 174.2, 79.27)),
    (10, (25.97, 35.14, 96.25, 71.15), (38.96, 52.70, 144.4, 106.7)),
    (12, (29.92, 26.81, 83.54, 93.25), (44.89, 40.22, 125.3, 139.9)),
    (15, (34.90, 18.36, 71.63, 136.1), (52.35, 27.55, 107.4, 204.2)),
    (20, (40.91, 10.10, 61.11, 247.5), (61.36, 15.15, 91.67, 371.3)),
    (30, (46.93, 3.17, 53.27, 789.8), (70.40, 4.75, 79.90, 1185)),
]


@pytest.mark.parametrize(("attenuation_db", "at_50", "at_75"), TABLE)
def test_pad_table(attenuation_db, at_50, at_75):
    """Amateur and engineering handbooks, attenuator pages."""
    for z0_ohm, expected in ((50, at_50), (75, at_75)):
        tee, pi = attenuator.tee(attenuation_db, z0_ohm), attenuator.pi(attenuation_db, z0_ohm)
        got = (tee.series_ohm, tee.shunt_ohm, pi.shunt_ohm, pi.series_ohm)
        assert got == pytest.approx(expected, rel=2e-3)


def test_pads_of_1_db():
    """microwaves101.com, attenuator pages, 50 ohm."""
    tee, pi = attenuator.tee(1, 50), attenuator.pi(1, 50)
    assert (tee.series_ohm, pi.series_ohm) == pytest.approx((2.88, 5.77), abs=0.01)
    assert (tee.shunt_ohm, pi.shunt_ohm) == pytest.approx((433.34, 869.55), abs=0.05)


def test_tee_of_10_db():
    """vias.org, attenuator page, 50 ohm."""
    tee = attenuator.tee(10, 50)
    assert (tee.series_ohm, tee.shunt_ohm) == pytest.approx((25.97, 35.14), abs=0.01)


def test_pi_of_15_db_in_600_ohm():
    """physicsforums.com thread on pads: 859.54 and 1633.67 ohm."""
    pi = attenuator.pi(15, 600)
    assert (pi.shunt_ohm, pi.series_ohm) == pytest.approx((859.54, 1633.67), abs=0.05)


@pytest.mark.parametrize(("pad", "loss_db", "reflection"), [((24, 100), 5.90, 0.0084), ((24.9, 100), 6.01, None)])
def test_tee_of_preferred_values(pad, loss_db, reflection):
    """Two-port textbook, 75 ohm, E24 and E96 values for 6 dB."""
    got = attenuator.tee_achieved(attenuator.Pad(*pad), 75)
    assert got.loss_db == pytest.approx(loss_db, abs=0.02)
    assert reflection is None or got.reflection == pytest.approx(reflection, abs=0.0002)


def test_pi_of_preferred_values():
    """Two-port textbook, 75 ohm, 220/56/220 ohm for 6 dB."""
    got = attenuator.pi_achieved(attenuator.Pad(series_ohm=56, shunt_ohm=220), 75)
    assert got.loss_db == pytest.approx(6.07, abs=0.02)
    assert got.reflection == pytest.approx(0.0054, abs=0.0002)
