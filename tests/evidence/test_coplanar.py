"""Coplanar strips against an independent library, the wires that narrow strips amount to, and a field of filaments."""

import math

import mpmath
import numpy as np
import pytest

from boardgen.handbook import coplanar
from boardgen.handbook.constants import MAGNETIC_CONSTANT_H_PER_M
from tests.evidence.strip_field import resistance_ratios


@pytest.mark.parametrize("modulus", [1e-6, 0.1, 0.25, 0.5, 1 / math.sqrt(2), 0.9, 0.999999])
def test_elliptic_ratio(modulus):
    """mpmath's complete elliptic integrals, whose argument is k squared."""
    with mpmath.workdps(30):
        theirs = mpmath.ellipk(mpmath.mpf(modulus) ** 2) / mpmath.ellipk(1 - mpmath.mpf(modulus) ** 2)
    assert coplanar.elliptic_ratio(modulus) == pytest.approx(float(theirs), rel=1e-12)


def test_half_way():
    """Abramowitz and Stegun 17.3 (recalled): K and K' are equal at k squared of one half."""
    assert coplanar.elliptic_ratio(math.sqrt(0.5)) == pytest.approx(1, rel=1e-12)


@pytest.mark.parametrize("apart", [50, 200])
def test_narrow_strips_are_wires(apart):
    """Antenna handbooks (recalled): a strip of width w acts as a wire of radius w/4; two wires have mu0/pi ln(d/a)."""
    width = 1e-3
    wires = MAGNETIC_CONSTANT_H_PER_M / math.pi * math.log(apart * width / (width / 4))
    ours = coplanar.pair_inductance_h_per_m(width, (apart - 1) * width)
    assert ours == pytest.approx(wires, rel=2e-4)


def test_a_plain_pair():
    """The whole formula with mpmath's integrals: rails 1.5 mm wide and 1.04 mm apart."""
    k = mpmath.mpf("1.04") / (mpmath.mpf("1.04") + 3)
    theirs = 4e-7 * mpmath.pi * mpmath.ellipk(k**2) / mpmath.ellipk(1 - k**2)
    assert coplanar.pair_inductance_h_per_m(1.5e-3, 1.04e-3) == pytest.approx(float(theirs), rel=1e-8)


@pytest.mark.parametrize(("width", "gap"), [(0.5e-3, 3e-3), (0.8e-3, 0.6e-3), (1.2e-3, 0.5e-3), (2e-3, 1.5e-3)])
def test_resistance_of_thin_strips_by_their_field(width, gap):
    """35 um of copper from 0.1 to 30 MHz, sizes to which nothing was fitted: within 13 %, from 1 MHz on within 8 %."""
    frequencies = np.array([0.1e6, 0.3e6, 1e6, 1.8e6, 5e6, 10e6, 20e6, 30e6])
    theirs = resistance_ratios(width, gap, 35e-6, frequencies)
    ours = coplanar.strip_resistance_ratio(35e-6, coplanar.pair_crowding(width, gap), frequencies)
    assert np.abs(ours / theirs - 1).max() < 0.13
    assert np.abs(ours / theirs - 1)[2:].max() < 0.08


def test_resistance_of_thick_strips():
    """Handbooks of planar lines (recalled): Rs b^2/(2 K'^2) with ln(8 pi a (1 - k)/(t (1 + k))) + pi at either edge.

    Copper of 0.2 mm at 30 MHz is 17 depths thick, where its surface resistance is all there is.
    """
    width, gap, thickness, frequency = 3e-3, 1e-3, 0.2e-3, 30e6
    a, b = gap / 2, gap / 2 + width
    k = a / b
    edges = [math.pi + math.log(8 * math.pi * at * (1 - k) / (thickness * (1 + k))) for at in (a, b)]
    surface = math.sqrt(math.pi * frequency * MAGNETIC_CONSTANT_H_PER_M * 1.7241e-8)
    per_m = surface * b**2 / (2 * float(mpmath.ellipk(1 - k**2)) ** 2) / (b**2 - a**2)
    per_m *= edges[0] / (2 * a) + edges[1] / (2 * b)
    crowding = coplanar.pair_crowding(width, gap)
    ratio = coplanar.strip_resistance_ratio(thickness, crowding, np.array([frequency]))[0]
    assert ratio * 1.7241e-8 / (width * thickness) == pytest.approx(per_m, rel=1e-3)


def test_resistance_of_a_strip_to_direct_current():
    ratio = coplanar.strip_resistance_ratio(35e-6, coplanar.pair_crowding(1e-3, 1e-3), np.array([10.0]))
    assert ratio[0] == pytest.approx(1, abs=1e-9)


def test_current_at_the_edge_of_a_thin_strip():
    """0.037 of the depth squared over the thickness, with mpmath's integral and the slab of a hyperbolic cotangent."""
    width, gap, thickness, frequency = 1.5e-3, 0.4e-3, 35e-6, 3.5e6
    depth = 1 / math.sqrt(math.pi * frequency * MAGNETIC_CONSTANT_H_PER_M / 1.7241e-8)
    a, b = gap / 2, gap / 2 + width
    edge = 0.037 * depth**2 / thickness
    logs = [math.log(2 * at * (b - a) / (edge * (a + b))) / (2 * at) for at in (a, b)]
    crowded = width * b**2 / float(mpmath.ellipk(1 - (a / b) ** 2)) ** 2 / (b**2 - a**2) * sum(logs)
    half = mpmath.mpc(1, 1) * thickness / (2 * depth)
    slab = float((half * mpmath.coth(half)).real)
    ratio = coplanar.strip_resistance_ratio(thickness, coplanar.pair_crowding(width, gap), np.array([frequency]))
    assert ratio[0] == pytest.approx(slab * crowded, rel=1e-6)
