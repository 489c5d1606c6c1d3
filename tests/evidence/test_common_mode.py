"""Common-mode rejection against a worked case."""

import pytest

from boardgen.handbook import common_mode


@pytest.mark.parametrize(
    ("frequency_hz", "magnitude_ohm", "rejection_db"),
    [(1.8e6, 4421, 38.9), (7e6, 1137, 27.1), (28e6, 284, 15.2)],
)
def test_breaker_of_20_pf_in_a_50_ohm_loop(frequency_hz, magnitude_ohm, rejection_db):
    """Circuit textbook, 20 log|1 + Z/R|."""
    impedance = common_mode.impedance_ohm(20e-12, frequency_hz)
    assert abs(impedance) == pytest.approx(magnitude_ohm, rel=2e-3)
    assert common_mode.rejection_db(impedance, 50) == pytest.approx(rejection_db, abs=0.1)
