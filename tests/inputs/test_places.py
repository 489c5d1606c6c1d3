"""What is wrong is told with the file and line of the one who wrote it, also where it is found while sizing."""

import re
from pathlib import Path

import pytest

from boardgen.inputs.board import Sources, read_board, read_request
from boardgen.inputs.station import read_station
from boardgen.model.problem import InputError
from boardgen.sizing.size import size
from boardgen.spec.template import station_files, with_ways
from boardgen.station_design import make_station

TEXT = with_ways("two-way", None)


def board(folder: Path, more: str, old: str = "", new: str = "") -> tuple[Path, int]:
    """A specification with a line more at its end, or one that is changed, and the number of that line."""
    assert old in TEXT
    text = (TEXT.replace(old, new, 1) if old else TEXT) + more
    path = folder / "b.toml"
    path.write_text(text, encoding="utf-8")
    wanted = new or more.strip().rsplit("\n", maxsplit=1)[-1]
    return path, next(n for n, line in enumerate(text.splitlines(), 1) if wanted in line)


def places(error: pytest.ExceptionInfo[InputError]) -> list[tuple[str, int | None, str]]:
    return [(p.place.file, p.place.line, p.place.key) for p in error.value.problems]


def test_a_value_that_no_part_suits(tmp_path: Path) -> None:
    old = next(line for line in TEXT.splitlines() if line.startswith("coil"))
    path, line = board(tmp_path, "", old, 'coil = "7 V"')
    with pytest.raises(InputError) as caught:
        size(read_request(path, Sources()))
    assert places(caught) == [(str(path), line, "control.coil")]


def test_a_value_of_the_command_line() -> None:
    path = Path(__file__).parents[2] / "templates" / "two-way.toml"
    with pytest.raises(InputError) as caught:
        size(read_request(path, Sources(overrides={"control.coil": "7 V"})))
    assert places(caught) == [("command line", None, "control.coil")]


@pytest.mark.parametrize(
    ("more", "key"),
    [
        ('\n[measured]\ncore = "none.csv"\n', "measured.core"),
        ('\n[parts]\nkeep = "none.json"\n', "parts.keep"),
        ('\n[parts]\nrelay = "nope"\n', "parts.relay"),
    ],
)
def test_a_file_or_part_that_is_not_there(tmp_path: Path, more: str, key: str) -> None:
    path, line = board(tmp_path, more)
    with pytest.raises(InputError) as caught:
        read_board(path, Sources())
    assert places(caught) == [(str(path), line, key)]


def plan(folder: Path, **changed: str) -> tuple[Path, int]:
    """The template's plan with the first line of each of these keys changed, and the number of the last of them."""
    for name, text in station_files("two-boxes").items():
        (folder / name).write_text(text, encoding="utf-8")
    path = folder / "station.toml"
    text = path.read_text(encoding="utf-8")
    for key, line in changed.items():
        text, count = re.subn(rf"^{key} *=.*$", lambda _, line=line: line, text, count=1, flags=re.MULTILINE)
        assert count == 1
    path.write_text(text, encoding="utf-8")
    return path, text.splitlines().index(list(changed.values())[-1]) + 1


def test_a_box_that_is_not_there(tmp_path: Path) -> None:
    path, line = plan(tmp_path, spec='spec = "../none.toml"')
    with pytest.raises(InputError) as caught:
        read_station(path, Sources())
    assert (str(path), line, "box[1].spec") in places(caught)


def test_a_source_that_leaves_too_little(tmp_path: Path) -> None:
    path, line = plan(tmp_path, supply='supply = "5..6 V"', drop='drop = "3 V"')
    with pytest.raises(InputError) as caught:
        read_station(path, Sources())
    assert (str(path), line, "source.drop") in places(caught)


@pytest.mark.slow
def test_a_diode_that_no_catalogue_has(tmp_path: Path) -> None:
    path, line = plan(tmp_path, drop='diode = "nope"')
    with pytest.raises(InputError) as caught:
        make_station(read_station(path, Sources()))
    assert places(caught) == [(str(path), line, "source.diode")]
