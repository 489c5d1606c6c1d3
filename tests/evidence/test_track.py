"""Track current against published widths."""

import pytest

from boardgen.handbook import track

MIL_M = 25.4e-6


@pytest.mark.parametrize(("layer", "width_mil"), [("internal", 30.8), ("external", 11.8)])
def test_width_by_a_published_table(layer, width_mil):
    """hardwarebook.info, PCB trace: 1 A, 10 K, 35 um."""
    assert track.width_m(1, 10, 35e-6, layer) / MIL_M == pytest.approx(width_mil, abs=0.1)


@pytest.mark.parametrize(
    ("current_a", "layer", "width_mm"), [(1, "external", 0.300), (1, "internal", 0.781), (2, "external", 0.781)]
)
def test_width_by_the_formula(current_a, layer, width_mm):
    """IPC-2221, 10 K, 35 um."""
    assert track.width_m(current_a, 10, 35e-6, layer) == pytest.approx(width_mm / 1000, rel=2.5e-3)


@pytest.mark.parametrize(("layer", "area_mil2"), [("external", 16.30), ("internal", 42.4)])
def test_section_for_1_a(layer, area_mil2):
    """IPC-2221, 10 K: the section in square mils, as a track one mil thick."""
    assert track.current_a(area_mil2 * MIL_M, MIL_M, 10, layer) == pytest.approx(1, rel=2e-3)


@pytest.mark.parametrize(("layer", "constant"), [("external", 0.048), ("internal", 0.024)])
def test_constants_one_by_one(layer, constant):
    """IPC-2221: k dT^0.44 A^0.725, at one kelvin and one square mil, at 100 K, and at 10000 square mils."""
    assert track.current_a(MIL_M, MIL_M, 1, layer) == pytest.approx(constant, rel=1e-6)
    assert track.current_a(MIL_M, MIL_M, 100, layer) == pytest.approx(constant * 7.5858, rel=1e-4)
    assert track.current_a(100 * MIL_M, 100 * MIL_M, 1, layer) == pytest.approx(constant * 794.33, rel=1e-4)
