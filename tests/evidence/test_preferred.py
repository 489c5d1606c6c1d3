"""Preferred numbers against the lists and the rule they follow."""

import pytest

from boardgen.handbook import preferred


def test_e96_follows_its_formula():
    """IEC 60063: 100 x 10^(i/96), rounded."""
    assert preferred.SERIES["E96"] == tuple(round(100 * 10 ** (i / 96)) for i in range(96))


def test_e48_follows_its_formula():
    """IEC 60063: 100 x 10^(i/48), rounded."""
    assert preferred.SERIES["E48"] == tuple(round(100 * 10 ** (i / 48)) for i in range(48))


def test_e24_leaves_its_formula_at_eight_members():
    """IEC 60063: 10 x 10^(i/24) would be 26 29 32 35 38 42 46 83 for 27 30 33 36 39 43 47 82."""
    by_formula = [round(10 * 10 ** (i / 24)) for i in range(24)]
    differing = {m: f for m, f in zip(preferred.SERIES["E24"], by_formula, strict=True) if m != f}
    assert differing == {27: 26, 30: 29, 33: 32, 36: 35, 39: 38, 43: 42, 47: 46, 82: 83}


@pytest.mark.parametrize(
    ("series", "members"),
    [
        ("E6", "10 15 22 33 47 68"),
        ("E12", "10 12 15 18 22 27 33 39 47 56 68 82"),
        ("E24", "10 11 12 13 15 16 18 20 22 24 27 30 33 36 39 43 47 51 56 62 68 75 82 91"),
    ],
)
def test_coarse_series(series, members):
    """IEC 60063, the lists."""
    assert preferred.SERIES[series] == tuple(int(member) for member in members.split())


@pytest.mark.parametrize(
    ("value", "series", "expected"),
    [
        (24.92, "E24", 24),
        (56.03, "E24", 56),
        (24.92, "E96", 24.9),
        (75.0, "E24", 75.0),
        (75.0, "E96", 75.0),
        (37.5, "E96", 37.4),
        (3640, "E24", 3600),
        (2040, "E24", 2000),
        (1440, "E24", 1500),
    ],
)
def test_nearest(value, series, expected):
    """Resistors of a 6 dB pad, half of 75 ohm, a base resistor, and two lamps of an encyclopaedia article."""
    assert preferred.nearest(value, series) == expected


@pytest.mark.parametrize(
    ("value", "series", "below", "above"),
    [
        (37.5, "E96", 37.4, 38.3),
        (75.0, "E96", 75.0, 75.0),
        (5000, "E24", 4700, 5100),
        (99.9, "E6", 68, 100),
        (4.7e-8, "E12", 4.7e-8, 4.7e-8),
    ],
)
def test_either_side(value, series, below, above):
    """IEC 60063, by the lists."""
    assert preferred.at_most(value, series) == below
    assert preferred.at_least(value, series) == above
