"""What coplanar strips must do whatever the numbers."""

import pytest

from boardgen.handbook import coplanar


def test_only_the_shape_counts():
    here = coplanar.pair_inductance_h_per_m(1.5e-3, 1e-3)
    assert coplanar.pair_inductance_h_per_m(3e-3, 2e-3) == pytest.approx(here)


def test_wider_apart_has_more_and_wider_has_less():
    here = coplanar.pair_inductance_h_per_m(1.5e-3, 1e-3)
    assert coplanar.pair_inductance_h_per_m(1.5e-3, 2e-3) > here > coplanar.pair_inductance_h_per_m(3e-3, 1e-3)


@pytest.mark.parametrize("modulus", [0, 1, -0.1, float("nan")])
def test_a_modulus_lies_between_nought_and_one(modulus):
    with pytest.raises(ValueError, match="modulus must lie between 0 and 1"):
        coplanar.elliptic_ratio(modulus)
