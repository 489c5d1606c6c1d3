"""Attenuators against a table of pi attenuators for 50 ohm as handbooks print it (recalled), and Ohm's law."""

import math

import pytest

from boardgen.handbook import attenuator

TABLE = [
    (1, 869.5, 5.77),
    (2, 436, 11.6),
    (3, 292, 17.6),
    (6, 150.5, 37.3),
    (10, 96.2, 71.2),
    (20, 61.1, 248),
]


@pytest.mark.parametrize(("loss_db", "shunt_ohm", "series_ohm"), TABLE)
def test_table_for_50_ohm(loss_db, shunt_ohm, series_ohm):
    found = attenuator.pi_ohm(loss_db, 50)
    assert found == pytest.approx((shunt_ohm, series_ohm), rel=5e-3)


@pytest.mark.parametrize(("loss_db", "shunt_ohm", "series_ohm"), TABLE)
def test_resistors_of_the_table_have_its_loss_and_match(loss_db, shunt_ohm, series_ohm):
    assert attenuator.loss_db(shunt_ohm, series_ohm, 50) == pytest.approx(loss_db, rel=0.01)
    assert attenuator.return_loss_db(shunt_ohm, series_ohm, 50) > 45


def test_by_ohms_law():
    """100, 100 and 100 ohm between 100 ohm: 150 ohm beside the shunt is 60 ohm at the input.

    Of 2 V behind 100 ohm the input has 0.75 V, the output a third of it, 0.25 V; without the three it has 1 V.
    """
    assert attenuator.loss_db(100, 100, 100) == pytest.approx(20 * math.log10(4), abs=1e-9)
    assert attenuator.return_loss_db(100, 100, 100) == pytest.approx(-20 * math.log10(40 / 160), abs=1e-9)


@pytest.mark.parametrize("value", [0, -1, math.nan, math.inf])
def test_senseless_arguments_are_refused(value):
    with pytest.raises(ValueError, match="finite number above zero"):
        attenuator.pi_ohm(value, 50)
    with pytest.raises(ValueError, match="finite number above zero"):
        attenuator.loss_db(value, 50, 50)
    with pytest.raises(ValueError, match="finite number above zero"):
        attenuator.return_loss_db(50, value, 50)
