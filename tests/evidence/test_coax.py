"""Coaxial cable against published constants, model results and makers' sheets."""

import pytest

from boardgen.handbook import coax

CONSTANTS = {
    "RG-6 copper centre": (75, 0.83, 0.063697, 0.195292, 0.000071),
    "RG-6 steel centre": (75, 0.83, 0.615093, 0.196584, 0.000190),
    "RG-6A": (75, 0.66, 0.375388, 0.246660, 0.002253),
    "RG-59": (75, 0.66, 0.594885, 0.319915, 0.001754),
    "RG-59 foam": (75, 0.78, 0.603418, 0.280797, 0.002069),
    "RG-11 foam": (75, 0.84, 0.190155, 0.113867, 0.001554),
    "RG-11A": (75, 0.66, 0.042271, 0.199492, 0.000720),
    "RG-58A": (51.5, 0.66, 0.118904, 0.321239, 0.004695),
    "RG-58C": (50, 0.66, 0.129420, 0.403833, 0.008761),
    "RG-213": (50, 0.66, 0.256179, 0.154587, 0.003135),
    "15 mm foam 75 ohm": (75, 0.87, 0.014998, 0.070230, 0.000260),
}
"""Cable list of a public transmission-line program, K0, K1, K2 in dB a hundred feet (read)."""

RESULTS = {
    "RG-6 copper centre": (0.64, 0.85, 1.19, 1.68, 2.02, 3.38),
    "RG-6 steel centre": (2.00, 2.03, 2.11, 2.35, 2.57, 3.72),
    "RG-6A": (1.31, 1.46, 1.78, 2.35, 2.76, 4.56),
    "RG-59": (1.99, 2.13, 2.47, 3.14, 3.64, 5.85),
    "RG-59 foam": (1.99, 2.08, 2.34, 2.88, 3.30, 5.24),
    "RG-11 foam": (0.66, 0.72, 0.86, 1.12, 1.31, 2.16),
    "RG-11A": (0.65, 0.87, 1.22, 1.74, 2.08, 3.52),
    "RG-58A": (1.07, 1.43, 2.01, 2.87, 3.46, 5.98),
    "RG-58C": (1.33, 1.80, 2.54, 3.66, 4.43, 7.77),
    "RG-213": (0.89, 0.98, 1.18, 1.54, 1.81, 3.03),
    "15 mm foam 75 ohm": (0.23, 0.31, 0.43, 0.61, 0.74, 1.24),
}
MEGAHERTZ = (1, 1.8, 3.5, 7, 10, 28)


def test_constants():
    """As they were read."""
    assert {name: tuple(cable) for name, cable in coax.CABLES.items()} == CONSTANTS


@pytest.mark.parametrize("name", RESULTS)
def test_model_results(name):
    """Arithmetic alone: the same model worked elsewhere, dB per 100 m."""
    got = [100 * coax.attenuation_db_per_m(coax.CABLES[name], 1e6 * f) for f in MEGAHERTZ]
    assert got == pytest.approx(RESULTS[name], abs=0.0055)


@pytest.mark.parametrize(("megahertz", "decibels"), [(1, 0.6), (10, 1.1)])
def test_hundred_feet_of_rg_59(megahertz, decibels):
    """Catalogue of the maker, 0.6 dB at 1 MHz and 1.1 dB at 10 MHz (recalled), to its one digit."""
    assert 30.48 * coax.attenuation_db_per_m(coax.CABLES["RG-59"], 1e6 * megahertz) == pytest.approx(decibels, abs=0.05)


def test_exact_numbers():
    """Definitions: the foot, the speed of light; the neper as the model rounds it."""
    assert coax.FEET_100_M == 30.48
    assert coax.LIGHT_M_PER_S == 299792458
    assert coax.DECIBELS_A_NEPER == 8.686
