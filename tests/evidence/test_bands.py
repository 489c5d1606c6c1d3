"""Amateur bands against the regulations."""

import pytest

from boardgen.handbook import bands

# kHz in regions 1, 2 and 3
TABLE = """
2200 m | 135.7-137.8   | 135.7-137.8   | 135.7-137.8
630 m  | 472-479       | 472-479       | 472-479
160 m  | 1810-1850     | 1800-2000     | 1800-2000
80 m   | 3500-3800     | 3500-4000     | 3500-3900
60 m   | 5351.5-5366.5 | 5351.5-5366.5 | 5351.5-5366.5
40 m   | 7000-7200     | 7000-7300     | 7000-7200
30 m   | 10100-10150   | 10100-10150   | 10100-10150
20 m   | 14000-14350   | 14000-14350   | 14000-14350
17 m   | 18068-18168   | 18068-18168   | 18068-18168
15 m   | 21000-21450   | 21000-21450   | 21000-21450
12 m   | 24890-24990   | 24890-24990   | 24890-24990
10 m   | 28000-29700   | 28000-29700   | 28000-29700
"""

ROWS = [[cell.strip() for cell in line.split("|")] for line in TABLE.strip().split("\n")]


def test_every_band_is_listed():
    """ITU Radio Regulations, Article 5: the amateur bands below 30 MHz."""
    assert [row[0] for row in ROWS] == list(bands.NAMES)


@pytest.mark.parametrize("region", [1, 2, 3])
def test_edges(region):
    """ITU Radio Regulations, Article 5, whole table."""
    for row in ROWS:
        low_khz, high_khz = (float(edge) for edge in row[region].split("-"))
        assert bands.edges(row[0], region) == pytest.approx((low_khz * 1e3, high_khz * 1e3), rel=1e-12)


def test_160_m_of_region_1_carries_its_footnote():
    """ITU Radio Regulations, Article 5: to 2000 kHz by footnote in some countries."""
    assert "2.0 MHz" in bands.NOTES["160 m"]
