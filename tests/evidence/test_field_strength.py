"""The field of a transmitter against the forms in which ITU-R P.525 and P.368 give it."""

import math

import pytest

from boardgen.handbook import field_strength


@pytest.mark.parametrize(("dbw", "kilometres"), [(0.0, 1.0), (30.0, 10.0), (20.0, 0.08)])
def test_field_in_decibels(dbw, kilometres):
    """ITU-R P.525 (recalled): E = Pt - 20 log d + 74.8, in dB over 1 uV/m, dBW and km, of an isotropic antenna."""
    field = field_strength.field_v_per_m(10 ** (dbw / 10), 0.0, kilometres * 1e3)
    assert 20 * math.log10(field * 1e6) == pytest.approx(dbw - 20 * math.log10(kilometres) + 74.8, abs=0.05)


def test_a_short_vertical_has_the_field_that_ground_wave_curves_refer_to():
    """ITU-R P.368 (recalled): 1 kW gives 300 mV/m at 1 km unattenuated, a cymomotive force of 300 V."""
    field = field_strength.field_v_per_m(1e3, field_strength.SHORT_VERTICAL_DB, 1e3)
    assert field == pytest.approx(0.3, rel=1e-9)


@pytest.mark.parametrize(("decibels", "megahertz"), [(74.8, 1.0), (109.5, 1.8), (60.0, 14.0)])
def test_power_that_an_isotropic_antenna_takes(decibels, megahertz):
    """ITU-R P.525 (recalled): Pr = E - 20 log f - 167.2, in dBW, dB over 1 uV/m and GHz."""
    watt = field_strength.received_w(10 ** (decibels / 20) * 1e-6, megahertz * 1e6, 0.0)
    expected = decibels - 20 * math.log10(megahertz / 1e3) - 167.2
    assert 10 * math.log10(watt) == pytest.approx(expected, abs=0.05)


def test_loss_between_isotropic_antennas():
    """ITU-R P.525 (recalled): 32.4 + 20 log f + 20 log d, in MHz and km."""
    field = field_strength.field_v_per_m(100.0, 0.0, 5e3)
    lost_db = 20.0 - 10 * math.log10(field_strength.received_w(field, 3.5e6, 0.0))
    assert lost_db == pytest.approx(32.4 + 20 * math.log10(3.5) + 20 * math.log10(5), abs=0.06)


def test_gains_multiply():
    """By definition: 3 dB, twice the power."""
    field = field_strength.field_v_per_m(10.0, 10 * math.log10(4), 100.0)
    assert field == pytest.approx(2 * field_strength.field_v_per_m(10.0, 0.0, 100.0))
    assert field_strength.received_w(field, 7e6, -10.0) == pytest.approx(field_strength.received_w(field, 7e6, 0) / 10)


def test_near_field():
    """Textbook (recalled): 160 m over 2 pi is 25.5 m, at 1.874 MHz."""
    assert field_strength.near_field_m(299.792458e6 / 160) == pytest.approx(25.46, abs=0.01)


@pytest.mark.parametrize("wrong", [0.0, -1.0, math.nan, math.inf])
def test_what_means_nothing_is_refused(wrong):
    for call in (
        lambda: field_strength.field_v_per_m(wrong, 0.0, 1.0),
        lambda: field_strength.field_v_per_m(1.0, 0.0, wrong),
        lambda: field_strength.received_w(wrong, 1e6, 0.0),
        lambda: field_strength.received_w(1.0, wrong, 0.0),
        lambda: field_strength.near_field_m(wrong),
    ):
        with pytest.raises(ValueError, match="above zero"):
            call()
