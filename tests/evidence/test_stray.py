"""Stray capacitance against a worked case."""

import pytest

from boardgen.handbook import stray


def test_square_centimetre_of_board():
    """Physics textbook: 10 mm square over 1.6 mm of permittivity 4.4 is 2.43 pF."""
    assert stray.plate_capacitance_f(1e-4, 1.6e-3, 4.4) == pytest.approx(2.43e-12, rel=5e-3, abs=0)


def test_permittivity_of_board_material():
    """Common practice: FR-4 lies at 4.2 to 4.6, 4.4 in the middle."""
    assert pytest.approx(4.2, rel=1e-3) == stray.FR4_LOWEST_PERMITTIVITY
    assert pytest.approx(4.6, rel=1e-3) == stray.FR4_HIGHEST_PERMITTIVITY
