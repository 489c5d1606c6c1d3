"""Amateur bands: what holds for all of them."""

import pytest

from boardgen.handbook import bands


@pytest.mark.parametrize("region", [1, 2, 3])
def test_bands_rise_and_do_not_overlap(region):
    highest_hz = 0.0
    for name in bands.NAMES:
        low_hz, high_hz = bands.edges(name, region)
        assert highest_hz < low_hz < high_hz
        highest_hz = high_hz


@pytest.mark.parametrize("name", bands.NAMES)
def test_a_name_is_the_wavelength_of_its_band(name):
    low_hz, high_hz = bands.edges(name, 2)
    wavelength_m = 299_792_458 / ((low_hz + high_hz) / 2)
    assert float(name.removesuffix(" m")) == pytest.approx(wavelength_m, rel=0.09)


@pytest.mark.parametrize(("name", "region"), [("161 m", 1), ("160m", 1), ("160 m", 0), ("160 m", 4)])
def test_unknown_band_or_region_is_refused(name, region):
    with pytest.raises(ValueError, match=r"band|region"):
        bands.edges(name, region)
