"""Resistors made on demand from a series of preferred numbers."""

import pytest

from boardgen.handbook import preferred
from tests.catalogue.own_folder import over, part, problems
from tests.catalogue.shipped import CATALOGUE


@pytest.mark.parametrize(
    ("ohm", "code", "value"),
    [
        (75, "75R", "75 ohm"),
        (37.4, "37R4", "37.4 ohm"),
        (1000, "1K", "1 kohm"),
        (4700, "4K7", "4.7 kohm"),
        (82_000, "82K", "82 kohm"),
        (10, "10R", "10 ohm"),
        (1e6, "1M", "1 Mohm"),
        (976e3, "976K", "976 kohm"),
        (1.02e3, "1K02", "1.02 kohm"),
    ],
)
def test_number_and_value(ohm, code, value):
    found = CATALOGUE.resistor(ohm)
    assert found.number == f"MFR-25FBF52-{code}"
    assert found.key == f"resistor-mfr25-{code.lower()}"
    assert found.value == value
    assert found.figures["resistance"].value == ohm
    assert found.figures["resistance"].least == pytest.approx(0.99 * ohm)
    assert found.figures["power"].value == 0.25
    assert found.footprint in CATALOGUE.footprints


def test_every_value_of_both_series_has_a_key_of_its_own():
    members = [member for series in ("E24", "E96") for member in preferred.SERIES[series]]
    values = {preferred.nearest(float(f"{member}e{power}"), "E96" if member > 99 else "E24")
              for member in members for power in range(-1, 5)}  # fmt: skip
    values = {ohm for ohm in values if 10 <= ohm <= 1e6}
    parts = {ohm: CATALOGUE.resistor(ohm) for ohm in values}
    assert len({part.key for part in parts.values()}) == len(values) > 500
    for ohm, resistor in parts.items():
        assert resistor.figures["resistance"].value == pytest.approx(ohm)
        assert CATALOGUE.part(resistor.key) == resistor


def test_the_part_that_was_read_stands_before_the_series():
    assert CATALOGUE.resistor(75).standing == "read"
    assert CATALOGUE.resistor(75).source != CATALOGUE.resistor(82).source


@pytest.mark.parametrize("ohm", [76, 9.1, 1.1e6, 0, -75, float("nan"), float("inf")])
def test_a_value_that_is_not_made(ohm):
    with pytest.raises(ValueError, match="E24 and E96 from 10 to 1e\\+06 ohm"):
        CATALOGUE.resistor(ohm)


@pytest.mark.parametrize("key", ["resistor-mfr25-76r", "resistor-mfr25-75", "resistor-mfr25-0k075", "resistor-mfr25-"])
def test_a_key_of_no_part(key):
    with pytest.raises(KeyError):
        CATALOGUE.part(key)


SERIES = """
[[family]]
kind = "resistor"
key_pattern = "own-{code}"
number_pattern = "OWN {code}"
maker = "Own"
description = "own resistor"
standing = "read"
source = "own list"
series = ["E12"]
from = "100 ohm"
to = "10 kohm"
tolerance = "5 %"
"""


def test_an_own_series_is_preferred_where_it_reaches(tmp_path):
    catalogue = over(tmp_path, own=SERIES)
    assert catalogue.resistor(1000).number == "OWN 1K"
    assert catalogue.resistor(1000).figures["resistance"].most == pytest.approx(1050)
    assert catalogue.resistor(75).number == "MFR-25FBF52-75R"
    assert catalogue.resistor(1100).number == "MFR-25FBF52-1K1"


def test_an_own_resistor_is_preferred(tmp_path):
    text = part(kind='"resistor"', figures='{ resistance = "1 kohm +-1 %" }')
    assert over(tmp_path, own=text).resistor(1000).key == "own-100nf"


@pytest.mark.parametrize(
    ("old", "new", "identity"),
    [
        ('["E12"]', '["E13"]', "K005 not a choice"),
        ('"100 ohm"', '"100 F"', "K008 wrong value"),
        ('tolerance = "5 %"', "", "K004 absent key"),
        ('"own-{code}"', '"own"', "K012 unknown field"),
        ('"OWN {code}"', '"OWN {value}"', "K012 unknown field"),
        ('"resistor"', '"capacitor"', "K005 not a choice"),
        ('"own resistor"', '"own resistor"\ncolour = "blue"', "K002 unknown key"),
    ],
)
def test_faults_of_a_series(tmp_path, old, new, identity):
    assert identity in {found.id for found in problems(tmp_path, own=SERIES.replace(old, new))}
