"""Leakage of a two-hole core's windings against published lines."""

import math

import pytest

from boardgen.handbook import leakage


def test_a_pair_is_the_two_wire_line_of_the_handbooks():
    """Amateur handbooks: an open line of 600 ohm is of wires 75 diameters apart; L of a metre is Z0/c in air."""
    henry_per_metre = leakage.pair_h(1.0, 1, 1e-3, 75e-3)
    assert henry_per_metre == pytest.approx(600 / 299_792_458, rel=2e-3)


def test_apart_is_half_the_inductance_of_a_line_of_that_spacing():
    """A pass between bundles at distance over radius e: 0.2 uH a metre, mu0/(2 pi) (any textbook); a turn is two."""
    assert leakage.apart_h(1.0, 1) == pytest.approx(0.4e-6, rel=1e-3)
    assert leakage.apart_h(0.012, 5) == pytest.approx(0.4e-6 * 0.012 * 25, rel=1e-3)


def test_more_turns():
    """Bundles link every turn with every other; a pair is only longer."""
    assert leakage.apart_h(0.01, 6) == pytest.approx(4 * leakage.apart_h(0.01, 3))
    assert leakage.pair_h(0.03, 6, 0.3e-3, 0.35e-3) == pytest.approx(2 * leakage.pair_h(0.03, 3, 0.3e-3, 0.35e-3))


def test_touching_bare_wires_leave_no_room_for_a_field():
    assert leakage.pair_h(0.03, 5, 0.3e-3, 0.3e-3) == 0


@pytest.mark.parametrize("call", [(0.03, 0, 1e-3, 2e-3), (0.03, 5, 2e-3, 1e-3), (math.nan, 5, 1e-3, 2e-3)])
def test_refused(call):
    with pytest.raises(ValueError):
        leakage.pair_h(*call)
