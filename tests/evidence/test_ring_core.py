"""Rings against a maker's inductance per turn, their masses and the geometry of turns in a hole."""

import math

import pytest

from boardgen.handbook import ring_core
from boardgen.handbook.winding import impedance

# outer and inner diameter, height in mm; initial permeability; nanohenry a turn squared, 20 to 25 % either way.
# Source: maker's catalogue of rings (recalled, not read; none was kept aside).
RINGS = [
    ((61.0, 35.55, 12.7), 800, 1075),
    ((12.7, 7.15, 4.9), 800, 440),
    ((35.55, 23.0, 12.7), 800, 885),
    ((21.0, 13.2, 6.35), 800, 470),
    ((29.0, 19.0, 7.5), 800, 510),
]


@pytest.mark.parametrize(("sizes_mm", "permeability", "nanohenry"), RINGS)
def test_a_ring_has_the_makers_inductance_a_turn(sizes_mm, permeability, nanohenry):
    path = ring_core.path_constant_m(*(size / 1000 for size in sizes_mm))
    ohm = impedance(1e3, path, 1, complex(permeability, 0))
    assert ohm.imag / (2e3 * math.pi) * 1e9 == pytest.approx(nanohenry, rel=0.025)


def test_mass_of_a_ring():
    """By hand: pi / 4 (61^2 - 35.55^2) mm2 of 12.7 mm are 24.51 cm3, of 4.8 g each."""
    assert ring_core.mass_kg(61e-3, 35.55e-3, 12.7e-3) == pytest.approx(0.11765, rel=1e-3)


@pytest.mark.parametrize(
    ("cable_mm", "hole_mm", "turns"),
    [(1, 3, 6), (1, 2, 2), (6.9, 9.5, 1), (10.3, 9.5, 0), (9.5, 9.5, 1), (6.9, 35.55, 12), (1, 2.99, 5)],
)
def test_turns_in_a_hole(cable_mm, hole_mm, turns):
    """Six round a seventh of their own size is the oldest example; the others by geometry."""
    assert ring_core.turns_in_hole(hole_mm / 1000, cable_mm / 1000) == turns


def test_a_hole_is_smaller_than_its_core():
    with pytest.raises(ValueError, match="smaller than the core"):
        ring_core.path_constant_m(1e-2, 1e-2, 1e-2)
    with pytest.raises(ValueError, match="height_m"):
        ring_core.mass_kg(2e-2, 1e-2, 0.0)
