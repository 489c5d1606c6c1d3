"""The board house: shipped, replaced by the user's own, and faults by name."""

import pytest

from boardgen.catalogue import load
from boardgen.catalogue.load import parts_folder
from boardgen.model.board_house import BoardHouse
from tests.catalogue.own_folder import over, problems

TEXT = (parts_folder() / "limits" / "board_houses.toml").read_text(encoding="utf-8")


def own(folder, text):
    (folder / "limits").mkdir()
    (folder / "limits" / "board_houses.toml").write_text(text, encoding="utf-8")


def test_the_default_has_the_limits_that_are_shipped():
    shipped, default = load().house, BoardHouse()
    assert {**vars_of(shipped), "source": ""} == {**vars_of(default), "source": ""}


def vars_of(house):
    return {name: getattr(house, name) for name in BoardHouse.__struct_fields__}


def test_an_own_house_takes_the_place_of_ours(tmp_path):
    own(tmp_path, TEXT.replace("track = 0.2", "track = 0.3").replace("easy two-layer", "own"))
    assert (over(tmp_path).house.name, over(tmp_path).house.track_nm) == ("own board", 300_000)


@pytest.mark.parametrize(
    ("old", "new", "identity"),
    [
        ("track = 0.2", "", "K004 absent key"),
        ("track = 0.2", "track = 0", "K003 wrong type"),
        ("track = 0.2", 'track = "0.2"', "K003 wrong type"),
        ("track = 0.2", "track = 0.2\ntracks = 0.2", "K002 unknown key"),
        ('standing = "recalled"', 'standing = "heard"', "K005 not a choice"),
        ("[[board_house]]", "[board_house]", "K003 wrong type"),
        ("track = 0.2", "track = ", "K001 unreadable file"),
    ],
)
def test_faults_of_a_house(tmp_path, old, new, identity):
    own(tmp_path, TEXT.replace(old, new))
    (only,) = problems(tmp_path)
    assert only.id == identity
    assert only.place.file.endswith("board_houses.toml")


def test_a_fault_of_a_house_names_its_line_and_what_is_allowed(tmp_path):
    own(tmp_path, TEXT.replace("ring = 0.2", "ring = 0").replace("track = 0.2", ""))
    wrong, absent = sorted(problems(tmp_path), key=lambda problem: problem.id)
    line = TEXT[: TEXT.index("ring = 0.2")].count("\n") + 1
    assert (wrong.place.line, wrong.found, wrong.wanted) == (line, "ring is 0", "wanted is more than 0 mm")
    assert (absent.found, absent.wanted) == ("track is absent", "write track = a number, more than 0 mm")
