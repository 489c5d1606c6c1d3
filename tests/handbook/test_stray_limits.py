"""Stray capacitance: limiting cases and properties."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from boardgen.handbook import stray


@given(st.floats(1e-8, 1e-2), st.floats(1e-4, 1e-2), st.floats(1, 10))
def test_plates_scale(area_m2, gap_m, permittivity):
    here_f = stray.plate_capacitance_f(area_m2, gap_m, permittivity)
    assert stray.plate_capacitance_f(2 * area_m2, gap_m, permittivity) == pytest.approx(2 * here_f)
    assert stray.plate_capacitance_f(area_m2, 2 * gap_m, permittivity) == pytest.approx(here_f / 2)
