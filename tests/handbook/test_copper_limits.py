"""Tracks, surge copper, spacing and holes: limiting cases and properties."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boardgen.handbook import clearance, holes, surge, track

WIDTHS = st.floats(1e-4, 1e-2)
THICKNESSES = st.floats(1e-5, 1e-4)
LAYERS = st.sampled_from(["external", "internal"])


@given(WIDTHS, THICKNESSES, st.floats(5, 100), LAYERS)
def test_track_width_and_current_are_inverse(width_m, thickness_m, rise_k, layer):
    current_a = track.current_a(width_m, thickness_m, rise_k, layer)
    assert track.width_m(current_a, rise_k, thickness_m, layer) == pytest.approx(width_m)


@given(WIDTHS, THICKNESSES, st.floats(5, 100))
def test_inner_track_carries_half(width_m, thickness_m, rise_k):
    inner_a = track.current_a(width_m, thickness_m, rise_k, "internal")
    assert track.current_a(width_m, thickness_m, rise_k, "external") == pytest.approx(2 * inner_a)


@given(st.floats(100, 20000), THICKNESSES)
def test_surge_width_follows_the_current(peak_a, thickness_m):
    narrow_m = surge.track_width_m(peak_a, thickness_m)
    assert surge.track_width_m(2 * peak_a, thickness_m) == pytest.approx(2 * narrow_m)
    assert surge.track_width_m(peak_a, 2 * thickness_m) == pytest.approx(narrow_m / 2)


@given(st.sampled_from(clearance.COLUMNS), st.floats(0, 100), st.floats(0, 100))
def test_more_voltage_never_asks_less_space(column, low_v, high_v):
    low_v, high_v = sorted((low_v, high_v))
    nearer_m = clearance.spacing_m(low_v, column.edition, column.name)
    assert nearer_m <= clearance.spacing_m(high_v, column.edition, column.name)


def test_every_column_says_how_it_was_learnt():
    assert {column.standing for column in clearance.COLUMNS} == {"read at second hand", "recalled"}
    assert clearance.column_of("B", "A6").meaning == "lead, uncoated"
    assert clearance.column_of("C", "A6").meaning == "lead, coated"


@given(st.floats(1e-4, 5e-3), st.sampled_from("AB"))
def test_denser_level_takes_less_room(lead_m, level):
    denser = "B" if level == "A" else "C"
    assert lead_m < holes.hole_m(lead_m, denser) < holes.hole_m(lead_m, level)
    assert lead_m < holes.land_m(lead_m, denser) < holes.land_m(lead_m, level)


@pytest.mark.parametrize(("edition", "column"), [("B", "B5"), ("A", "B1"), ("C", "A5"), ("", "")])
def test_unknown_column_is_refused(edition, column):
    with pytest.raises(ValueError, match="no column"):
        clearance.spacing_m(12, edition, column)


@pytest.mark.parametrize(("start_c", "end_c"), [(20, 20), (260, 20), (-234, 20), (math.nan, 20)])
def test_surge_that_does_not_warm_is_refused(start_c, end_c):
    with pytest.raises(ValueError, match=r"temperatures|start_c"):
        surge.track_width_m(5000, 35e-6, start_c, end_c)


@pytest.mark.parametrize("function", [holes.hole_m, holes.land_m])
def test_unknown_level_is_refused(function):
    with pytest.raises(ValueError, match="level"):
        function(1e-3, "D")


def test_unknown_layer_is_refused():
    with pytest.raises(ValueError, match="layer"):
        track.width_m(1, 10, 35e-6, "outer")
    with pytest.raises(ValueError, match="layer"):
        track.current_a(1e-3, 35e-6, 10, "outer")
