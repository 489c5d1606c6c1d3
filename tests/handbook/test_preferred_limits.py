"""Preferred numbers: properties over every decade."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boardgen.handbook import preferred

VALUES = st.floats(-12, 12).map(lambda power: 10.0**power)
NAMES = st.sampled_from(sorted(preferred.SERIES))


def in_series(value, series):
    digits, _ = f"{value:.2e}".split("e")
    scale = 100 if len(str(preferred.SERIES[series][0])) == 3 else 10
    return round(float(digits) * scale, 6) in preferred.SERIES[series]


@given(VALUES, NAMES)
def test_neighbours_enclose_the_value_and_are_members(value, series):
    below, above = preferred.at_most(value, series), preferred.at_least(value, series)
    assert below <= value <= above or math.isclose(below, value) or math.isclose(above, value)
    assert in_series(below, series)
    assert in_series(above, series)
    assert preferred.nearest(value, series) in (below, above)


@given(st.integers(-12, 12), NAMES, st.data())
def test_a_member_is_its_own_choice(power, series, data):
    number = data.draw(st.sampled_from(preferred.SERIES[series]))
    value = float(f"{number}e{power}")
    assert preferred.at_least(value, series) == value
    assert preferred.at_most(value, series) == value
    assert preferred.nearest(value, series) == value


@given(VALUES, NAMES)
def test_a_finer_series_is_never_farther(value, series):
    finer = "E96" if series == "E48" else "E24"
    if series in ("E24", "E96"):
        return
    coarse_error = abs(preferred.nearest(value, series) - value)
    assert abs(preferred.nearest(value, finer) - value) <= coarse_error


def test_rounding_of_a_sum_does_not_cost_a_step():
    assert preferred.at_least(0.1 + 0.2, "E24") == 0.3
    assert preferred.at_most(0.3 - 1e-16, "E24") == 0.3


@pytest.mark.parametrize("series", sorted(preferred.SERIES))
def test_series_rise_within_one_decade(series):
    members = preferred.SERIES[series]
    assert len(members) == int(series[1:])
    assert list(members) == sorted(set(members))
    assert members[-1] < 10 * members[0]


@pytest.mark.parametrize("function", [preferred.nearest, preferred.at_least, preferred.at_most])
@pytest.mark.parametrize(
    ("value", "series"), [(0, "E24"), (-1, "E24"), (math.nan, "E24"), (math.inf, "E24"), (1, "E7")]
)
def test_meaningless_requests_are_refused(function, value, series):
    with pytest.raises(ValueError, match=r"preferred|series"):
        function(value, series)
