"""Complex permeability against the short table of the sources, and what lies outside a table."""

import math

import pytest
from msgspec.structs import replace

from boardgen.catalogue import load
from boardgen.model.problem import InputError
from tests.catalogue.own_folder import problem
from tests.catalogue.shipped import CATALOGUE

TABLES = CATALOGUE.permeability
# At 3.5 MHz the short form prints -190/1693 for mix 75, but its own table's neighbours give -194/1694.
# MHz: mu'/mu'' by mix, rounded to whole numbers where large, as published with the tables
SHORT = {
    0.1: {"73": "2386/28", "75": "5025/78", "31": "1402/42", "43": "809/8", "77": "2001/37"},
    0.5: {"73": "2601/291", "75": "5276/1696", "31": "1391/183", "43": "812/19"},
    1.0: {"73": "2374/1077", "75": "3521/3087", "31": "1401/463", "43": "851/48", "61": "124/0.5", "77": "2074/946"},
    1.8: {"73": "1542/1273", "75": "1498/3108", "31": "1045/694", "43": "911/177", "61": "124/0.5", "77": "1210/1284"},
    3.5: {"73": "859/1061", "75": "-194/1694", "31": "599/662", "43": "702/419", "61": "124/0.6", "77": "383/1001"},
    7.0: {"73": "456/780", "75": "-199/621", "31": "336/452", "43": "399/397", "61": "126/0.9", "77": "0/533"},
    10: {"73": "287/663", "75": "-143/384", "31": "264/366", "43": "297/343", "61": "129/1.4", "77": "-40/343"},
    28: {"73": "11/286", "75": "-42/99", "31": "122/216", "43": "126/210", "61": "159/57", "77": "-27/96"},
}
POINTS = [(mix, mhz, text) for mhz, row in SHORT.items() for mix, text in row.items()]


@pytest.mark.parametrize(("mix", "mhz", "text"), POINTS)
def test_permeability_agrees_with_the_short_table(mix, mhz, text):
    real, imaginary = (float(number) for number in text.split("/"))
    found = TABLES[mix].at(mhz * 1e6)
    assert found.real == pytest.approx(real, abs=0.6)
    assert -found.imag == pytest.approx(imaginary, abs=0.6 if imaginary > 5 else 0.06)


def test_materials_and_initial_values():
    initial = {mix: table.initial for mix, table in TABLES.items()}
    assert initial == {"73": 2500, "75": 5000, "77": 2000, "31": 1500, "43": 800, "61": 125}
    assert all(table.standing == "read" and table.source for table in TABLES.values())


@pytest.mark.parametrize("mix", TABLES)
def test_a_point_of_the_table_is_given_back(mix):
    table = TABLES[mix]
    for frequency, value in zip(table.frequencies_hz, table.values, strict=True):
        assert table.at(frequency) == value


@pytest.mark.parametrize("mix", TABLES)
def test_between_two_points_the_middle_of_the_log_axis_is_the_mean(mix):
    table = TABLES[mix]
    for at in range(len(table.values) - 1):
        low, high = table.frequencies_hz[at : at + 2]
        middle = table.at(math.sqrt(low * high))
        assert middle == pytest.approx((table.values[at] + table.values[at + 1]) / 2, rel=1e-9)


@pytest.mark.parametrize(("mix", "hertz"), [("61", 0.9e6), ("73", 99e3), ("73", 31e6), ("43", math.nan)])
def test_outside_the_table_there_is_no_value(mix, hertz):
    with pytest.raises(ValueError, match=f"outside the table of mix {mix}, "):
        TABLES[mix].at(hertz)


def test_the_points_of_a_band_hold_both_ends_and_rise():
    table = TABLES["73"]
    points = table.points_between(1.8e6, 10e6)
    assert points[0] == 1.8e6
    assert points[-1] == 10e6
    assert list(points) == sorted(set(points))
    assert set(points[1:-1]) == {f for f in table.frequencies_hz if 1.8e6 < f < 10e6}
    assert len(points) > 4


def test_a_band_of_one_frequency_has_one_point():
    assert TABLES["73"].points_between(2e6, 2e6) == (2e6,)


@pytest.mark.parametrize(("low", "high"), [(10e6, 2e6), (1e3, 2e6), (2e6, 40e6)])
def test_a_band_that_is_not_covered_is_refused(low, high):
    with pytest.raises(ValueError, match="Hz"):
        TABLES["73"].points_between(low, high)


GOOD = "# initial: 100\n# standing: read\n# source: own sheet\nfrequency_hz,mu_real,mu_imag\n1e5,100,1\n1e6,90,20\n"


def with_table(folder, text, name="own"):
    (folder / "permeability").mkdir()
    (folder / "permeability" / f"{name}.csv").write_text(text, encoding="utf-8")
    return load(folder)


def test_an_own_material_joins_ours(tmp_path):
    tables = with_table(tmp_path, GOOD).permeability
    assert tables["own"].at(1e6) == 90 - 20j
    assert tables["own"].source == "own sheet"
    assert tables["73"] == TABLES["73"]


def test_an_own_table_replaces_ours(tmp_path):
    assert with_table(tmp_path, GOOD, "73").permeability["73"].initial == 100


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        ("# initial: 100\n", "", None),
        ("# initial: 100", "# initial: much", None),
        ("# initial: 100", "# initial: 100\n# over temperature: 25 1", None),
        ("# initial: 100", "# initial: 100\n# over temperature: 0 0.8, 25 1, 20 1.1", None),
        ("# initial: 100", "# initial: 100\n# over temperature: 0 0.8, 50 1.1", None),
        ("# initial: 100", "# initial: 100\n# over temperature: 0 low, 25 1", None),
        ("# source: own sheet\n", "", None),
        ("read", "heard", None),
        ("frequency_hz", "frequency_mhz", 4),
        ("1e6,90,20", "1e6,90", 6),
        ("1e6,90,20", "1e6,90,nan", 6),
        ("1e6,90,20", "1e4,90,20", 6),
        ("1e6,90,20\n", "", None),
    ],
)
def test_faults_of_a_table(tmp_path, old, new, line):
    with pytest.raises(InputError) as caught:
        with_table(tmp_path, GOOD.replace(old, new))
    (found,) = caught.value.problems
    assert found.place.file.endswith("permeability/own.csv")
    assert found.place.line == line


def test_a_table_that_is_not_text(tmp_path):
    (tmp_path / "permeability").mkdir()
    (tmp_path / "permeability" / "own.csv").write_bytes(b"\xff\xfe\x00")
    assert problem(tmp_path, "").id == "K001 unreadable file"


@pytest.mark.parametrize(
    ("mix", "celsius", "factor"),
    [
        # makers' coefficients, 0.5, 1, 1.3 and 1.25 %/K, and points of makers' curves (open database MAS, second hand)
        ("73", 70, 1.225), ("73", -30, 0.725), ("75", 50, 1.25), ("31", 0, 0.675), ("43", 50, 1.3125),
        ("77", -20, 1272.5 / 1936.3), ("77", 50, 2548.0 / 1936.3), ("61", -50, 102 / 124), ("61", 70, 128.5 / 124),
        # between two points, and beyond the last
        ("77", -10, (0.657 + 0.782) / 2), ("73", 80, 1.275), ("43", -60, 0.2),
    ],
)  # fmt: skip
def test_permeability_over_temperature(mix, celsius, factor):
    assert TABLES[mix].factor_at(celsius) == pytest.approx(factor, abs=6e-4)


def test_mix_43_in_the_cold():
    """A user reports 600 at 0 degC and 900 at 25 degC (mailing list on towers, November 2025)."""
    assert TABLES["43"].factor_at(0) == pytest.approx(600 / 900, abs=0.03)


def test_of_an_unknown_material_a_bound_counts():
    unknown = replace(TABLES["73"], over_temperature=())
    assert (unknown.factor_at(25), unknown.factor_at(50)) == pytest.approx((1, 1 + 25 * 0.013))
    assert unknown.factor_at(-60) == 0.2
