"""Copper wire against published tables."""

import math

import pytest

from boardgen.handbook import wire

# gauge, mm, mm2, ohm/km at 20 C
TABLE = [
    (18, 1.0237, 0.8230, 20.95),
    (19, 0.9116, 0.6527, 26.41),
    (20, 0.8118, 0.5176, 33.31),
    (21, 0.7229, 0.4105, 42.00),
    (22, 0.6438, 0.3255, 52.96),
    (23, 0.5733, 0.2582, 66.78),
    (24, 0.5106, 0.2047, 84.21),
    (25, 0.4547, 0.1624, 106.2),
    (26, 0.4049, 0.1288, 133.9),
    (27, 0.3606, 0.1021, 168.9),
    (28, 0.3211, 0.0810, 212.9),
    (29, 0.2859, 0.0642, 268.5),
    (30, 0.2546, 0.0509, 338.6),
]


@pytest.mark.parametrize(("gauge", "diameter_mm", "area_mm2", "ohm_per_km"), TABLE)
def test_gauge_table(gauge, diameter_mm, area_mm2, ohm_per_km):
    """ASTM B258 diameters, with IEC 60028 copper."""
    assert wire.awg_diameter_m(gauge) == pytest.approx(diameter_mm / 1000, rel=5e-4)
    assert wire.awg_area_m2(gauge) == pytest.approx(area_mm2 * 1e-6, rel=1.5e-3)
    assert wire.awg_resistance_ohm_per_m(gauge) == pytest.approx(ohm_per_km / 1000, rel=1e-3)


@pytest.mark.parametrize(("gauge", "diameter_mm"), [(36, 0.127), (-3, 11.684)])
def test_anchors_of_the_gauge(gauge, diameter_mm):
    """ASTM B258: gauge 36 is 0.0050 inch and gauge 0000 is 0.4600 inch by definition."""
    assert wire.awg_diameter_m(gauge) == pytest.approx(diameter_mm / 1000, rel=1e-9)


@pytest.mark.parametrize(
    ("gauge", "ohm_per_km", "tolerance"),
    [(26, 134.5, 0.81), (24, 84.2, 0.51), (23, 66.8, 0.4), (22, 53.0, 0.32), (20, 33.3, 0.2)],
)
def test_resistance_by_another_table(gauge, ohm_per_km, tolerance):
    """semiconductor.tools, gauge table at 20 C."""
    assert wire.awg_resistance_ohm_per_m(gauge) * 1000 == pytest.approx(ohm_per_km, abs=tolerance)


def test_gauges_of_the_standard():
    """ASTM B258 runs from 0000 to 56."""
    assert (wire.THICKEST_GAUGE, wire.THINNEST_GAUGE) == (-3, 56)


def test_resistivity_of_annealed_copper():
    """IEC 60028: 1/58 ohm mm2/m at 20 C."""
    assert wire.REFERENCE_TEMPERATURE_C == 20
    assert pytest.approx(1e-6 / 58, rel=1e-4) == wire.COPPER_RESISTIVITY_OHM_M
    assert wire.resistance_ohm_per_m(1e-6) == pytest.approx(1 / 58, rel=1e-4)


def test_coefficient_of_copper():
    """TE, temperature considerations for DC relays: 0.003929 per kelvin at 20 C."""
    assert pytest.approx(0.003929, rel=1e-3) == wire.COPPER_COEFFICIENT_PER_K
    assert wire.temperature_factor(70) == pytest.approx((234.5 + 70) / (234.5 + 20), rel=2e-4)


@pytest.mark.parametrize("frequency_mhz", [0.136, 1.0, 1.8, 30.0])
def test_skin_depth(frequency_mhz):
    """Electromagnetics textbook: 66.1 um over the root of megahertz, 49.3 um at 1.8."""
    expected_m = 66.1e-6 / math.sqrt(frequency_mhz)
    assert wire.skin_depth_m(frequency_mhz * 1e6) == pytest.approx(expected_m, rel=2e-3)
