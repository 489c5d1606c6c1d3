"""Coplanar strips against an independent library and against the wires that narrow strips amount to."""

import math

import mpmath
import pytest

from boardgen.handbook import coplanar
from boardgen.handbook.constants import MAGNETIC_CONSTANT_H_PER_M


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
