"""Resistive pads: limiting cases and properties."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boardgen.handbook import attenuator


@given(st.floats(0.1, 60), st.floats(10, 1000))
def test_ideal_pads_attenuate_as_asked_and_match(attenuation_db, z0_ohm):
    for got in (
        attenuator.tee_achieved(attenuator.tee(attenuation_db, z0_ohm), z0_ohm),
        attenuator.pi_achieved(attenuator.pi(attenuation_db, z0_ohm), z0_ohm),
    ):
        assert got.loss_db == pytest.approx(attenuation_db, rel=1e-6)
        assert got.reflection == pytest.approx(0, abs=1e-9)


@given(st.floats(0.1, 60), st.floats(10, 1000))
def test_tee_and_pi_are_dual(attenuation_db, z0_ohm):
    tee, pi = attenuator.tee(attenuation_db, z0_ohm), attenuator.pi(attenuation_db, z0_ohm)
    assert tee.series_ohm * pi.shunt_ohm == pytest.approx(z0_ohm**2)
    assert tee.shunt_ohm * pi.series_ohm == pytest.approx(z0_ohm**2)


def test_endless_attenuation_leaves_the_terminations():
    assert attenuator.tee(200, 75).series_ohm == pytest.approx(75)
    assert attenuator.pi(200, 75).shunt_ohm == pytest.approx(75)
