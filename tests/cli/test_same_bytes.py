"""Same input, same bytes: wherever, whenever and however the program runs."""

import json

import pytest

from tests.cli.empty_folder import TITLES, User, built_of, listed, tree


@pytest.fixture(scope="module")
def reference(tmp_path_factory) -> dict[str, bytes]:
    """What a plain build of the template with feeds writes."""
    return build(User(tmp_path_factory.mktemp("reference")), PYTHONHASHSEED="random")


def build(user: User, *words: str, **environment: str) -> dict[str, bytes]:
    """The files of a build with these options and in this environment."""
    user.start("four-way-feeds")
    assert user.run("build", "board.toml", "--quiet", *words, **environment).returncode == 0
    home = next(path for path in user.here.rglob(TITLES["four-way-feeds"]) if path.parent.name == "output")
    return {path.relative_to(home).as_posix(): path.read_bytes() for path in home.rglob("*") if path.is_file()}


def alike(found: dict[str, bytes], wanted: dict[str, bytes]) -> None:
    assert listed(wanted) == built_of("four-way-feeds")
    assert set(found) == set(wanted)
    assert [name for name in sorted(wanted) if found[name] != wanted[name]] == []


@pytest.mark.slow
@pytest.mark.parametrize(
    "environment",
    [
        {"PYTHONHASHSEED": "0", "TZ": "Pacific/Kiritimati", "LANG": "C"},
        {"PYTHONHASHSEED": "12345", "TZ": "America/St_Johns", "LC_ALL": "C.UTF-8", "COLUMNS": "40", "NO_COLOR": "1"},
        {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0", "TZ": "right/UTC", "PYTHONOPTIMIZE": "2"},
    ],
    ids=["east", "west", "bare"],
)
def test_the_environment_does_not_show(user, reference, environment):
    alike(build(user, **environment), reference)


@pytest.mark.slow
def test_the_folder_does_not_show(user, reference):
    deep = User(user.top / "a folder" / "with spaces, and Ö")
    alike(build(deep, "--out", str(deep.here / "elsewhere" / "output")), reference)
    moved = user.here / "moved.toml"
    user.start("four-way-feeds", "board.toml").rename(moved)
    user.good("build", str(moved), "--quiet")
    found = user.built("Larkfield four-way with feeds")
    assert [name for name in reference if name != "manifest.json" and found[name] != reference[name]] == []
    assert json.loads(found["manifest.json"])["inputs"]["specification"]["name"] == "moved.toml"


@pytest.mark.slow
def test_the_day_is_the_one_that_is_given(user, reference):
    dated = build(user, SOURCE_DATE_EPOCH="1700000000")
    assert b'(date "2023-11-14")' in dated["netlist.net"]
    assert json.loads(dated["manifest.json"])["inputs"]["date"] == "2023-11-14"
    assert json.loads(reference["manifest.json"])["inputs"]["date"] is None
    again = build(User(user.top / "again"), SOURCE_DATE_EPOCH="1700000001", TZ="Pacific/Kiritimati")
    alike(again, dated)


@pytest.mark.parametrize("text", ["", "soon", "-5", "1.5", "1_0", " 5", "2026-11-25", "9" * 12, "9" * 30, "٣"])
def test_a_wrong_day_is_refused(user, text):
    user.start()
    message = user.refused("build", "board.toml", SOURCE_DATE_EPOCH=text)
    assert "SOURCE_DATE_EPOCH" in message
    assert "seconds since 1970" in message


@pytest.mark.slow
def test_a_second_build_changes_nothing(user, reference):
    alike(build(user), reference)
    before = tree(user.top)
    user.good("build", "board.toml", "--quiet")
    assert tree(user.top) == before
