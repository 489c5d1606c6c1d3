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
