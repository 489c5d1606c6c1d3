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
