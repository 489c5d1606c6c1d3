"""Relay coils and their suppression: limiting cases and properties."""

from hypothesis import strategies as st

from boardgen.handbook import coil

TEMPERATURES = st.floats(-60, 150)
CURRENTS = st.floats(1e-3, 1)
OHMS = st.floats(1, 1e4)


def test_unpowered_coil_is_at_ambient():
    assert coil.coil_temperature(-30, 150, 0) == -30
