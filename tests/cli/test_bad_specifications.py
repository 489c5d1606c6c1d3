"""Bad specifications through whole commands: exit 2, the file and the key named, no traceback, nothing changed."""

import json
from pathlib import Path

import pytest

from boardgen.cli.app import main
from tests.cli import more_bad
from tests.cli.empty_folder import tree
from tests.spec import bad

CASES = [(name, text, key) for name, text, key, _ in bad.CASES] + more_bad.CASES
COMMANDS = ("values", "build")


def named(cases):
    return [pytest.param(text, key, id=name.encode("ascii", "replace").decode()) for name, text, key in cases]


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """An empty folder to work in."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


def refused(folder: Path, capsys: pytest.CaptureFixture[str], *words: str) -> str:
    """What a command says that must end with exit 2 and change nothing."""
    before = tree(folder)
    code = main(words)
    said = capsys.readouterr()
    assert code == 2, said.err
    assert tree(folder) == before
    assert "Traceback" not in said.err
    assert "fault of boardgen" not in said.err
    assert said.err.splitlines()[-1].endswith("nothing was written")
    if "--json" not in words:
        assert said.out == ""
    return said.out + said.err


def test_there_are_hundreds():
    assert len(CASES) > 300


@pytest.mark.parametrize(("text", "key"), named(CASES))
def test_a_bad_specification_is_refused(folder, capsys, text, key):
    (folder / "board.toml").write_bytes(text.encode("utf-8", "surrogatepass"))
    said = [refused(folder, capsys, command, "board.toml") for command in COMMANDS]
    assert said[0] == said[1]
    faults = said[0].splitlines()[:-1]
    assert faults
    assert all(line.startswith("board.toml") for line in faults)
    assert any(key in line for line in faults)
    assert all(line.isprintable() and len(line) < 700 for line in faults)


@pytest.mark.parametrize(("text", "key"), named(more_bad.PINS))
def test_a_part_that_is_not_there_is_refused(folder, capsys, text, key):
    (folder / "board.toml").write_text(text)
    for command in COMMANDS:
        said = refused(folder, capsys, command, "board.toml")
        assert said.startswith(f"board.toml:{text.count(chr(10))}: {key}: ")


@pytest.mark.parametrize(("option", "value", "key"), more_bad.OVERRIDES)
def test_a_bad_override_is_refused(folder, capsys, option, value, key):
    (folder / "board.toml").write_text(more_bad.GOOD)
    for words in (("values",), ("build",), ("compare",)):
        said = refused(folder, capsys, *words, "board.toml", f"{option}={value}")
        assert said.startswith(f"command line: {key}: ")


@pytest.mark.parametrize("command", COMMANDS)
def test_the_document_of_faults_says_the_same(folder, capsys, command):
    (folder / "board.toml").write_text(more_bad.GOOD.replace('"1.8 MHz"', "1").replace('"east"', '"north"'))
    said = refused(folder, capsys, command, "board.toml", "--json")
    document, _ = json.JSONDecoder().raw_decode(said)
    assert document["schema"] == "boardgen faults 1"
    places = [(p["file"], p["line"], p["key"]) for p in document["faults"]]
    assert places == [("board.toml", 3, "band.lowest"), ("board.toml", 8, "antenna[2].label")]
    assert all(f"{file}:{line}: {key}: " in said for file, line, key in places)


@pytest.mark.parametrize("text", more_bad.FORMULAS)
def test_a_label_like_a_formula_is_a_label(folder, capsys, text):
    """Such labels are names like others; that they stay text in the workbook is tested with the workbook."""
    (folder / "board.toml").write_text(more_bad.labelled(json.dumps(text)))
    assert main(["values", "board.toml", "--json"]) in (0, 1)
    assert text in {v["strip"] for v in json.loads(capsys.readouterr().out)["values"]}
