"""Loss, match and isolation: limiting cases and properties."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boardgen.handbook import loss

Z0 = st.floats(10, 1000)
REACTANCES = st.floats(1e-3, 1e6) | st.floats(-1e6, -1e-3)


@given(REACTANCES, Z0)
def test_lossless_branch_reflects_what_it_does_not_pass(reactance_ohm, z0_ohm):
    branch = complex(0, reactance_ohm)
    for insertion_db, return_db in (
        (loss.shunt_insertion_loss_db(branch, z0_ohm), loss.shunt_return_loss_db(branch, z0_ohm)),
        (loss.series_insertion_loss_db(branch, z0_ohm), loss.series_return_loss_db(branch, z0_ohm)),
    ):
        assert 10 ** (-insertion_db / 10) + 10 ** (-return_db / 10) == pytest.approx(1)


@given(st.floats(0, 1e6), REACTANCES, Z0)
def test_shunt_and_series_are_dual(resistance_ohm, reactance_ohm, z0_ohm):
    """A branch across the line does what z0^2 over it does along the line."""
    shunt = complex(resistance_ohm, reactance_ohm)
    dual = z0_ohm**2 / shunt
    got = loss.series_insertion_loss_db(dual, z0_ohm)
    assert got == pytest.approx(loss.shunt_insertion_loss_db(shunt, z0_ohm), abs=1e-9)
    got = loss.series_return_loss_db(dual, z0_ohm)
    assert got == pytest.approx(loss.shunt_return_loss_db(shunt, z0_ohm), abs=1e-9)


@given(st.floats(1e-14, 1e-10), st.floats(1e5, 1e8), Z0)
def test_isolation_falls_with_frequency_and_capacitance(capacitance_f, frequency_hz, z0_ohm):
    here = loss.isolation_db(capacitance_f, frequency_hz, z0_ohm)
    assert 0 < loss.isolation_db(capacitance_f, 2 * frequency_hz, z0_ohm) < here
    assert loss.isolation_db(2 * capacitance_f, frequency_hz, z0_ohm) < here


def test_nothing_in_series_is_a_perfect_match():
    assert loss.series_insertion_loss_db(0, 75) == 0
    assert loss.series_return_loss_db(0, 75) == math.inf


def test_equal_shunt_resistor_is_the_known_3_5_db():
    assert loss.shunt_insertion_loss_db(75, 75) == pytest.approx(20 * math.log10(1.5))
    assert loss.shunt_return_loss_db(75, 75) == pytest.approx(20 * math.log10(3))


@pytest.mark.parametrize("function", [loss.shunt_insertion_loss_db, loss.shunt_return_loss_db])
def test_short_across_the_line_is_refused(function):
    with pytest.raises(ValueError, match="shunt"):
        function(0, 75)


@pytest.mark.parametrize(
    "function",
    [
        loss.shunt_insertion_loss_db,
        loss.shunt_return_loss_db,
        loss.series_insertion_loss_db,
        loss.series_return_loss_db,
    ],
)
@pytest.mark.parametrize(
    ("branch", "z0_ohm"), [(-1, 75), (complex(1, math.inf), 75), (math.nan, 75), (10, 0), (10, -75), (10, math.inf)]
)
def test_meaningless_branch_or_line_is_refused(function, branch, z0_ohm):
    with pytest.raises(ValueError, match="finite"):
        function(branch, z0_ohm)
