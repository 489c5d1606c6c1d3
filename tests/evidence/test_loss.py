"""The oracle of loss and isolation against published tables and measurements."""

import pytest

from tests.evidence import loss


@pytest.mark.parametrize(
    ("ratio", "power", "loss_db"),
    [
        (1, 0.8, 0.97),
        (2, 0.941, 0.26),
        (3, 0.973, 0.12),
        (4, 0.985, 0.07),
        (5, 0.99, 0.04),
        (6, 0.993, 0.03),
        (7, 0.995, 0.02),
        (8, 0.996, 0.02),
        (9, 0.997, 0.01),
        (10, 0.998, 0.01),
    ],
)
def test_shunt_reactance_table(ratio, power, loss_db):
    """Topband archive, December 2004, message 311: power through a shunt reactance of 1 to 10 times R."""
    got = loss.shunt_insertion_loss_db(complex(0, 50 * ratio), 50)
    assert got == pytest.approx(loss_db, abs=0.006)
    assert 10 ** (-got / 10) == pytest.approx(power, abs=0.001)


@pytest.mark.parametrize(
    ("shunt", "insertion_db"),
    [(300j, 0.067), (375j, 0.043), (332 + 402j, 0.401)],
)
def test_shunt_in_75_ohm(shunt, insertion_db):
    """Two-port textbook: four and five times 75 ohm, and three turns on mix 73."""
    assert loss.shunt_insertion_loss_db(shunt, 75) == pytest.approx(insertion_db, abs=0.0006)


@pytest.mark.parametrize(
    ("reactance_ohm", "insertion_db"),
    [(0.88419, 0.00015), (11.703, 0.026), (8.8419, 0.0151)],
)
def test_series_capacitor_in_75_ohm(reactance_ohm, insertion_db):
    """Two-port textbook: 100 nF at 1.8 and 0.136 MHz, 10 nF at 1.8 MHz."""
    series = complex(0, -reactance_ohm)
    assert loss.series_insertion_loss_db(series, 75) == pytest.approx(insertion_db, rel=0.02)


@pytest.mark.parametrize(
    ("capacitance_pf", "expected_db"),
    [(0.4, (63.4, 51.6, 38.9)), (1.0, (55.4, 43.6, 31.0)), (2.0, (49.4, 37.6, 25.0))],
)
def test_isolation_of_an_open_contact_in_75_ohm(capacitance_pf, expected_db):
    """Two-port textbook, computed at 1.8, 7 and 30 MHz."""
    got = [loss.isolation_db(capacitance_pf * 1e-12, frequency_hz, 75) for frequency_hz in (1.8e6, 7e6, 30e6)]
    assert got == pytest.approx(expected_db, abs=0.1)


def test_relay_sheet_at_two_frequencies():
    """TE relay sheet, type IM: 37.0 dB at 100 MHz (0.225 pF) and 18.8 dB at 900 MHz, 50 ohm."""
    assert loss.isolation_db(0.225e-12, 100e6, 50) == pytest.approx(37.0, abs=0.1)
    assert loss.isolation_db(0.225e-12, 900e6, 50) == pytest.approx(18.8, abs=1.0)


@pytest.mark.parametrize(("capacitance_f", "isolation_db"), [(0.160e-12, 20), (0.0503e-12, 30)])
def test_radio_frequency_relay_at_1_ghz(capacitance_f, isolation_db):
    """Panasonic RA relay sheet: at least 20 dB open and 30 dB between sets, so these capacitances at most."""
    assert loss.isolation_db(capacitance_f, 1e9, 50) == pytest.approx(isolation_db, abs=0.05)


def test_isolation_is_not_the_ratio_of_reactance():
    """Mailing-list post of December 2007: 1.13 pF at 28 MHz called 40 dB for X = 100 x 50 ohm; it is 34.0."""
    assert loss.isolation_db(1.13e-12, 28e6, 50) == pytest.approx(34.03, abs=0.1)
