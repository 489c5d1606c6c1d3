"""Plated holes and lands against worked cases."""

import pytest

from boardgen.handbook import holes


@pytest.mark.parametrize(("level", "hole_mm"), [("A", 1.11), ("B", 1.06), ("C", 1.01)])
def test_hole_of_a_do_41_lead(level, hole_mm):
    """IPC-7251 and IPC-2222: 0.86 mm lead and 0.25, 0.20 or 0.15 mm."""
    assert holes.hole_m(0.86e-3, level) == pytest.approx(hole_mm / 1000, abs=1e-9)


@pytest.mark.parametrize(("level", "land_mm"), [("A", 1.8), ("B", 1.7), ("C", 1.6)])
def test_land_of_a_1_1_mm_hole(level, land_mm):
    """IPC-2221: hole, twice 0.05 mm of ring, and 0.6, 0.5 or 0.4 mm."""
    assert holes.land_m(1.1e-3, level) == pytest.approx(land_mm / 1000, abs=1e-9)


def test_flat_relay_pin():
    """Footprint rules of a public library: 0.5 x 0.25 mm has a diagonal of 0.559 mm and takes 0.76 mm."""
    diagonal_m = holes.diagonal_m(0.5e-3, 0.25e-3)
    assert diagonal_m == pytest.approx(0.559e-3, abs=0.001e-3)
    assert holes.hole_m(diagonal_m, "B") == pytest.approx(0.76e-3, abs=0.002e-3)
