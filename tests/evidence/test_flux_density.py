"""Flux density against the equation of transformers, and the walls of a core by hand."""

import pytest

from boardgen.handbook import flux_density


def test_the_equation_of_transformers():
    """Textbook (recalled): U = 4.44 f N B A. 230 V, 50 Hz, 500 turns, 20 cm2: 1.04 T."""
    assert flux_density.peak_t(230.0, 50.0, 500, 20e-4) == pytest.approx(230 / (4.443 * 50 * 500 * 20e-4), rel=1e-3)
    assert flux_density.peak_t(230.0, 50.0, 500, 20e-4) == pytest.approx(1.035, abs=0.001)


def test_walls_of_a_core():
    """By hand: 13.3 mm wide, 14.35 long, holes of 3.8 mm 5.7 apart: web and outer walls are 1.9 mm thick."""
    web = flux_density.narrowest_area_m2(13.3e-3, 14.35e-3, 5.7e-3, 3.8e-3)
    assert web == pytest.approx(1.9e-3 * 14.35e-3)
    # outer walls of 0.5 mm carry half of the flux each
    thin = flux_density.narrowest_area_m2(10.5e-3, 14.35e-3, 5.7e-3, 3.8e-3)
    assert thin == pytest.approx(2 * 0.5e-3 * 14.35e-3)


def test_a_core_without_walls_is_refused():
    with pytest.raises(ValueError, match="web_m"):
        flux_density.narrowest_area_m2(13.3e-3, 14.35e-3, 3.8e-3, 3.8e-3)
    with pytest.raises(ValueError, match="turns"):
        flux_density.peak_t(1.0, 1e6, 0, 1e-5)


def test_saturation_is_that_of_the_table():
    """The maker's table of materials (recalled): thousands of gauss at 10 Oe."""
    gauss = {name: round(tesla * 1e4) for name, tesla in flux_density.SATURATION_T.items()}
    assert gauss == {"31": 3400, "43": 2900, "61": 2350, "73": 3900, "75": 4300, "77": 4900}
