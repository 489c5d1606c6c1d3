"""Hold current of a resettable fuse in a warm box."""

import pytest

from boardgen.sizing.feed_line import FUSE_DERATING_PER_K, FUSE_RATED_C


@pytest.mark.parametrize(
    ("number", "hold_a", "degrees_c", "hot_a"),
    [
        ("MF-R010", 0.10, 40, 0.08), ("MF-R010", 0.10, 50, 0.07), ("MF-R010", 0.10, 60, 0.06),
        ("MF-R010", 0.10, 70, 0.05), ("MF-R017", 0.17, 60, 0.11), ("MF-R017", 0.17, 70, 0.09),
        ("MF-R025", 0.25, 60, 0.16), ("MF-R025", 0.25, 70, 0.14), ("MF-R050", 0.50, 60, 0.32),
        ("MF-R050", 0.50, 70, 0.27),
    ],
)  # fmt: skip
def test_hold_current_of_the_sheet(number, hold_a, degrees_c, hot_a):
    """Bourns MF-R sheet REV. AL 05/21, rounded there to 10 mA; never more than that is counted on."""
    counted_a = hold_a * (1 - FUSE_DERATING_PER_K * (degrees_c - FUSE_RATED_C))
    assert counted_a <= hot_a + 0.005
    assert counted_a == pytest.approx(hot_a, rel=0.13)
