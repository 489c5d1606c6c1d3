"""A user's folder over ours, and every kind of fault in it."""

import pytest

from boardgen.catalogue import load
from boardgen.model.problem import InputError
from tests.catalogue.own_folder import over, part, problem, problems
from tests.catalogue.shipped import CATALOGUE

OURS = CATALOGUE


def test_an_empty_folder_changes_nothing(tmp_path):
    assert load(tmp_path) == OURS


def test_a_new_part_is_preferred_to_ours(tmp_path):
    capacitors = over(tmp_path, own=part() + part("own-other")).of_kind("capacitor")
    assert [p.key for p in capacitors] == ["own-100nf", "own-other", *(p.key for p in OURS.of_kind("capacitor"))]
    assert capacitors[0].figures["rated voltage"].value == 63


def test_a_part_of_the_same_key_replaces_ours_in_its_place(tmp_path):
    capacitors = over(tmp_path, own=part("capacitor-c315-100nf")).of_kind("capacitor")
    assert [p.key for p in capacitors] == [p.key for p in OURS.of_kind("capacitor")]
    assert next(p for p in capacitors if p.key == "capacitor-c315-100nf").maker == "Own"


def test_a_family_makes_a_part_of_each_row(tmp_path):
    text = """
[[family]]
kind = "capacitor"
key_pattern = "own-{value}-{attributes.dielectric}"
maker = "Own"
description = "own series"
standing = "recalled"
source = "own list"
verify = ["Look again."]
figures = { "rated voltage" = "100 V" }
columns = ["number", "value", "capacitance", "attributes.dielectric", "standings.capacitance", "verify"]
rows = [
    ["A", "1 nF", "1 nF +-5 %", "C0G", "read", ""],
    ["B", "10 nF", "", "X7R", "", "Look twice."],
]
"""
    first, second = over(tmp_path, own=text).of_kind("capacitor")[:2]
    assert (first.key, second.key) == ("own-1nf-c0g", "own-10nf-x7r")
    assert first.figures["capacitance"].standing == "read"
    assert first.figures["rated voltage"].standing == "recalled"
    assert "capacitance" not in second.figures
    assert (first.verify, second.verify) == (("Look again.",), ("Look again.", "Look twice."))


@pytest.mark.parametrize(
    ("text", "value", "low", "high"),
    [
        ("1 nF", 1e-9, None, None),
        ("1 nF +-5 %", 1e-9, 0.95e-9, 1.05e-9),
        ("1 nF ±5%", 1e-9, 0.95e-9, 1.05e-9),
        ("1 nF -30/+50 %", 1e-9, 0.7e-9, 1.5e-9),
        ("1..3 nF", 2e-9, 1e-9, 3e-9),
        ("2 nF, least 1 nF", 2e-9, 1e-9, None),
        ("2 nF, most 3 nF", 2e-9, None, 3e-9),
        ("2 nF, least 1 nF, most 3 nF", 2e-9, 1e-9, 3e-9),
        ("1..3 nF, most 5 nF", 2e-9, 1e-9, 5e-9),
    ],
)
def test_how_a_figure_may_be_written(tmp_path, text, value, low, high):
    own = over(tmp_path, own=part(figures=f'{{ capacitance = "{text}" }}')).part("own-100nf")
    figure = own.figures["capacitance"]
    assert figure.value == pytest.approx(value)
    assert (figure.low, figure.high) == (low and pytest.approx(low), high and pytest.approx(high))


@pytest.mark.parametrize(
    "text",
    ["1", "1 ohm", "1 nf nF", "+-5 %", "1 nF +-x %", "3..1 nF", "1 nF, about 2 nF", "1 nF, least 2 nF", "0 nF",
     "-1 nF", "1 nF +-200 %", "1 nF, most", ""],
)  # fmt: skip
def test_how_a_figure_may_not_be_written(tmp_path, text):
    if not text:
        assert over(tmp_path, own=part(figures='{ capacitance = "" }')).part("own-100nf").figures == {}
        return
    found = problem(tmp_path, part(figures=f'{{ capacitance = "{text}" }}'))
    assert found.id == "K008 wrong value"
    assert found.place.key == "own-100nf.figures.capacitance"
    assert found.place.line == 13


@pytest.mark.parametrize(
    ("unit", "name", "kind", "text", "value"),
    [
        ("K/W", "thermal resistance", "relay", "150 K/W", 150),
        ("s", "operate time", "relay", "3 ms", 0.003),
        ("degC", "lowest temperature", "relay", "-40 degC", -40),
        ("1", "quality", "choke", "55", 55),
    ],
)
def test_units_of_every_sort(tmp_path, unit, name, kind, text, value):
    text = part(kind=f'"{kind}"', figures=f'{{ "{name}" = "{text}" }}', pins="{}")
    figure = over(tmp_path, own=text).part("own-100nf").figures[name]
    assert figure.value == pytest.approx(value)
    assert figure.unit == unit


@pytest.mark.parametrize(("name", "text"), [("thermal resistance", "150 W/K"), ("operate time", "3 minutes")])
def test_units_that_are_wrong(tmp_path, name, text):
    found = problem(tmp_path, part(kind='"relay"', figures=f'{{ "{name}" = "{text}" }}', pins="{}"))
    assert found.id == "K008 wrong value"


@pytest.mark.parametrize(
    ("changes", "identity", "hint", "line"),
    [
        ({"figures": '{ capacitence = "1 nF" }'}, "K007 unknown figure", "capacitance", 13),
        ({"figures": '{ ways = "2" }'}, "K007 unknown figure", "", 13),
        ({"kind": '"capacitator"', "figures": "{}", "pins": "{}"}, "K005 not a choice", "capacitor", 4),
        ({"standing": '"rad"'}, "K005 not a choice", "read", 10),
        ({"standing": '""'}, "K004 absent key", "", 2),
        ({"source": '""'}, "K004 absent key", "", 2),
        ({"maker": '""'}, "K004 absent key", "", 2),
        ({"number": "7"}, "K003 wrong type", "", 6),
        ({"footprint": '"capacitor-2,54"'}, "K013 unknown footprint", "capacitor-2.54", 9),
        ({"pins": '{ 1 = "1", 2 = "9" }'}, "K014 no such pad", "", 12),
        ({"pins": '{ 1 = "1", 2 = "1" }'}, "K006 used twice", "", 12),
        ({"pins": '{ anode = "1" }'}, "K009 unknown pin", "", 12),
        ({"pins": '"1, 2"'}, "K003 wrong type", "", 12),
        ({"figures": '{ capacitance = 1e-9 }'}, "K003 wrong type", "", 13),
        ({"description": '"x"\nunit = "yard"'}, "K005 not a choice", "", 9),
        ({"description": '"x"\nverify = 3'}, "K003 wrong type", "", 9),
        ({"description": '"x"\nwholesaler = "y"'}, "K002 unknown key", "", 9),
        ({"description": '"x"\nstandings = { capacitance = "rad" }'}, "K005 not a choice", "read", 9),
        ({"description": '"x"\nsources = { capacity = "y" }'}, "K007 unknown figure", "capacitance", 9),
    ],
)  # fmt: skip
def test_faults_of_a_part(tmp_path, changes, identity, hint, line):
    found = problem(tmp_path, part(**changes))
    assert found.id == identity
    assert found.severity == "error"
    assert found.place.file == (tmp_path / "own.toml").as_posix()
    assert found.place.line == line
    assert found.wanted
    assert hint in found.hint
    assert bool(found.hint) == bool(hint)


def test_every_fault_of_every_file_is_reported_at_once(tmp_path):
    found = problems(
        tmp_path,
        first=part(standing='"rad"', source='""') + part("own-second", kind='"lamp"', figures="{}", pins="{}"),
        second="[[part]",
        third=part("own-third", number="7"),
    )
    assert [(p.id, p.place.file.rsplit("/", 1)[1]) for p in found] == [
        ("K005 not a choice", "first.toml"),
        ("K004 absent key", "first.toml"),
        ("K005 not a choice", "first.toml"),
        ("K001 unreadable file", "second.toml"),
        ("K003 wrong type", "third.toml"),
    ]


def test_a_key_twice_in_one_folder(tmp_path):
    (found,) = problems(tmp_path, first=part(), second=part())
    assert found.id == "K006 used twice"
    assert "second.toml" in found.place.file
    assert "first.toml, line 2" in found.wanted


def test_a_footprint_twice_in_one_folder(tmp_path):
    text = '[[footprint]]\nkey = "x"\ndescription = "x"\nview = "top"\nstanding = "read"\nsource = "x"\ngap = "all"\n'
    assert problem(tmp_path, text + text).id == "K006 used twice"


def test_a_replaced_footprint_must_still_have_our_pads(tmp_path):
    text = (
        '[[footprint]]\nkey = "stud-4.7"\ndescription = "x"\nview = "top"\nstanding = "read"\nsource = "x"\n'
        'pads_mm = [["A", 0, 0]]\n'
    )
    found = problems(tmp_path, own=text)
    assert {p.id for p in found} == {"K014 no such pad"}
    assert {p.place.key for p in found} == {"stud-m4.pins.1", "stud-8.pins.1"}


@pytest.mark.parametrize(
    ("text", "identity"),
    [
        ("[[parts]]\n", "K002 unknown key"),
        ("[part]\n", "K003 wrong type"),
        ("part = 3\n", "K003 wrong type"),
        ("[[part]\n", "K001 unreadable file"),
        ('[[family]]\nkind = "link"\n', "K004 absent key"),
        (
            '[[family]]\nkind = "link"\nkey_pattern = "x-{value}"\ncolumns = ["number"]\nrows = [["a", "b"]]\n',
            "K010 wrong row",
        ),
    ],
)
def test_faults_of_a_file(tmp_path, text, identity):
    assert problem(tmp_path, text).id == identity


FAMILY = """
[[family]]
kind = "link"
key_pattern = "own-{value}"
maker = "none"
description = "own link"
standing = "assumed"
source = "own"
columns = ["number", "value", "pitch"]
rows = [["wire", "5 mm", "5 mm"]]
"""


def test_a_family_with_a_wrong_column(tmp_path):
    found = problems(tmp_path, own=FAMILY.replace('"pitch"', '"pich"'))[0]
    assert found.id == "K007 unknown figure"
    assert "pitch" in found.hint


def test_a_family_with_a_wrong_field_in_its_pattern(tmp_path):
    found = problems(tmp_path, own=FAMILY.replace("{value}", "{valve}"))[0]
    assert found.id == "K012 unknown field"
    assert "value" in found.hint


def test_a_file_that_is_not_text(tmp_path):
    (tmp_path / "own.toml").write_bytes(b"\xff\xfe")
    with pytest.raises(InputError, match="cannot be read"):
        load(tmp_path)


def test_a_folder_that_is_not_there(tmp_path):
    with pytest.raises(InputError, match="no such folder"):
        load(tmp_path / "absent")


@pytest.mark.parametrize("key", ["Own", "own 1", "own*", "-own", "own\\n1"])
def test_a_key_that_cannot_stand_in_a_price_list(tmp_path, key):
    assert {p.id for p in problems(tmp_path, own=part(key))} <= {"K015 wrong key", "K003 wrong type"}


def test_texts_are_of_one_line(tmp_path):
    # a header within a text must not upset where the blocks begin either
    found = problem(tmp_path, part("own-a", source='"""\n[[family]]\n"""') + FAMILY + part("own-b"))
    assert (found.id, found.place.key) == ("K003 wrong type", "own-a.source")
