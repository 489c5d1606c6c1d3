"""Windings on ferrite against published cores and measurements."""

import math

import pytest

from boardgen.handbook import winding
from boardgen.handbook.constants import MAGNETIC_CONSTANT_H_PER_M


def ring_path_constant(outside_m, inside_m, height_m):
    """Sum of area over length of a ring core, h ln(OD/ID)/(2 pi)."""
    return height_m * math.log(outside_m / inside_m) / (2 * math.pi)


RING_140 = ring_path_constant(35.55e-3, 23.0e-3, 12.7e-3)
RING_240 = ring_path_constant(61e-3, 35.55e-3, 12.7e-3)


def test_three_turns_on_8500():
    """Core catalogue form L = A_L N^2, A_L of the 202-size core of mix 73: 76.5 uH."""
    assert winding.inductance(8500e-9, 3) == pytest.approx(76.5e-6, rel=1e-3)


def test_turns_of_a_receive_transformer():
    """Topband archive, October 2003, message 17721: 950 ohm at 1.8 MHz, four times, 336 uH, above 6 turns."""
    assert winding.inductance(8500e-9, 6) < 336e-6 < winding.inductance(8500e-9, 7)


@pytest.mark.parametrize(
    ("turns", "resistance_ohm", "reactance_ohm", "tolerance"), [(1, 36.8, 44.6, 0.01), (3, 332, 402, 0.01)]
)
def test_impedance_of_mix_73(turns, resistance_ohm, reactance_ohm, tolerance):
    """Conformity, June 2008, equation 9, with the maker's permeability at 1.8 MHz and the 202 size."""
    got = winding.impedance(1.8e6, 0.002037, turns, complex(1542, -1273))
    assert got.real == pytest.approx(resistance_ohm, rel=tolerance)
    assert got.imag == pytest.approx(reactance_ohm, rel=tolerance)


@pytest.mark.parametrize(
    ("path_constant_m", "conductance_s", "susceptance_s"),
    [(RING_140, 0.00715, -0.0104), (RING_240, 0.00573, -0.00834)],
)
def test_admittance_of_two_turns(path_constant_m, conductance_s, susceptance_s):
    """Weblog article 6891 on ring cores: 2 turns at 7.1 MHz with the permeability printed there, 332 - j228."""
    series = winding.impedance(7.1e6, path_constant_m, 2, complex(332, -228))
    parallel_r, parallel_x = winding.parallel_equivalents(series)
    assert 1 / parallel_r == pytest.approx(conductance_s, abs=5e-5)
    assert -1 / parallel_x == pytest.approx(susceptance_s, abs=5e-5)


@pytest.mark.parametrize(
    ("frequency_hz", "measured", "permeability"),
    [
        (1.8e6, complex(5.0, 17.4), complex(911, -177)),
        (1.8e6, complex(4.5, 17.4), complex(911, -177)),
        (3.5e6, complex(15.7, 25.8), complex(702, -419)),
        (5e6, complex(22.8, 28.7), complex(533.3, -431.9)),
        (7e6, complex(29.6, 31.1), complex(399, -397)),
        (10e6, complex(37.2, 33.8), complex(297, -343)),
        (14e6, complex(45.2, 36.2), complex(226.3, -292.6)),
        (20e6, complex(54.6, 38.3), complex(169.1, -246.2)),
        (30e6, complex(66.2, 39.7), complex(117.1, -202.5)),
    ],
)
def test_two_hole_core_against_an_analyser(frequency_hz, measured, permeability):
    """Published one-port sweep of a two-hole core of mix 43, one turn, path constant 0.00154 m.

    Permeability by the maker's table of February 2020. The core lies some ten per cent below it.
    """
    modelled = winding.impedance(frequency_hz, 0.00154, 1, permeability)
    assert 0.80 < abs(measured) / abs(modelled) < 1.05


def test_eleven_turns_on_a_large_ring():
    """Weblog, April 2018, a current balun at 7 MHz: 3175 + j2502 ohm, confirmed by measurement."""
    modelled = winding.impedance(7e6, RING_240, 11, complex(399, -397))
    assert abs(modelled) == pytest.approx(abs(complex(3175, 2502)), rel=0.10)


@pytest.mark.parametrize("al_nh", [2200, 2800])
def test_one_turn_on_the_202_size_of_mix_43(al_nh):
    """Weblog on two-hole cores: 59.57 ohm reactance at 10 MHz; the catalogues give A_L 2200 to 2800."""
    path_constant_m = al_nh * 1e-9 / (MAGNETIC_CONSTANT_H_PER_M * 800)
    assert 0.9 < 59.57 / winding.impedance(10e6, path_constant_m, 1, complex(297, -343)).imag < 1.3
