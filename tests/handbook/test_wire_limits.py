"""Copper wire and cable: limiting cases and properties."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boardgen.handbook import data_cable, wire

GAUGES = st.integers(wire.THICKEST_GAUGE, wire.THINNEST_GAUGE - 1)


@given(GAUGES)
def test_a_higher_gauge_is_thinner_and_more_resistive(gauge):
    assert wire.awg_diameter_m(gauge + 1) < wire.awg_diameter_m(gauge)
    assert wire.awg_resistance_ohm_per_m(gauge + 1) > wire.awg_resistance_ohm_per_m(gauge)


@given(st.integers(wire.THICKEST_GAUGE, wire.THINNEST_GAUGE - 3))
def test_three_gauges_halve_the_area(gauge):
    assert wire.awg_area_m2(gauge) / wire.awg_area_m2(gauge + 3) == pytest.approx(2, rel=0.01)


@given(st.floats(1e-9, 1e-3), st.floats(-60, 149))
def test_warmer_copper_resists_more(area_m2, temperature_c):
    assert wire.resistance_ohm_per_m(area_m2, temperature_c + 1) > wire.resistance_ohm_per_m(area_m2, temperature_c)


@given(st.floats(1e4, 1e8))
def test_skin_depth_halves_at_four_times_the_frequency(frequency_hz):
    assert wire.skin_depth_m(4 * frequency_hz) == pytest.approx(wire.skin_depth_m(frequency_hz) / 2)


@given(st.floats(0, 1), st.floats(0, 100), st.floats(0, 100), st.integers(1, 16))
def test_drop_grows_by_the_return_alone(current_a, out_ohm, return_ohm, energised):
    one_more = data_cable.drop_v(current_a, out_ohm, return_ohm, energised + 1)
    step_v = one_more - data_cable.drop_v(current_a, out_ohm, return_ohm, energised)
    assert step_v == pytest.approx(current_a * return_ohm, abs=1e-9)


def test_pin_orders_differ_by_two_pairs_changing_places():
    swapped = {"white/green": "white/orange", "green": "orange", "white/orange": "white/green", "orange": "green"}
    for a, b in zip(data_cable.PINS["T568A"], data_cable.PINS["T568B"], strict=True):
        assert swapped.get(a.colour, a.colour) == b.colour
        assert a.number == b.number


@pytest.mark.parametrize("gauge", [wire.THICKEST_GAUGE - 1, wire.THINNEST_GAUGE + 1])
def test_gauge_outside_the_standard_is_refused(gauge):
    with pytest.raises(ValueError, match="gauge"):
        wire.awg_diameter_m(gauge)


@pytest.mark.parametrize("temperature_c", [-300, math.nan, math.inf])
def test_temperature_without_resistance_is_refused(temperature_c):
    with pytest.raises(ValueError, match="temperature_c"):
        wire.resistance_ohm_per_m(1e-6, temperature_c)
    with pytest.raises(ValueError, match="temperature_c"):
        data_cable.at_temperature(9.38, temperature_c)
