"""The libraries that a manifest names are those that had a hand in the folder, with their versions."""

import json
import re
import subprocess
import sys
import tomllib
from importlib.metadata import version

import pytest

from boardgen.spec.template import station_files, with_ways
from tests.house.checkout import TOP

RECORD = """
import sys
from boardgen.cli.app import main
main(sys.argv[1:])
sys.stderr.write(" ".join({name.partition(".")[0].lower() for name in sys.modules}))
"""
COMMAND_LINE = {"cyclopts", "tomlkit"}
"""They read options, and find lines of a file: no byte that is written comes from them."""


def asked_for() -> set[str]:
    """Every library that the package asks for, with those of its extras for paper and drawings."""
    project = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = project["optional-dependencies"]
    wanted = (*project["dependencies"], *extras["pdf"], *extras["dxf"])
    return {re.match(r"[\w-]+", r)[0].lower() for r in wanted}


@pytest.mark.slow
@pytest.mark.parametrize(
    "words",
    [
        ("build", "two-way.toml"),
        ("build", "two-way.toml", "--dxf"),
        ("order", "two-way.toml"),
        ("order", "two-way.toml", "--over", "3"),
        ("response", "two-way.toml", "--out", "output"),
        ("station", "station.toml"),
    ],
)
def test_a_manifest_names_what_the_command_loaded(tmp_path, words):
    """As a process of its own shows it: nothing that was not loaded, and nothing loaded left out."""
    (tmp_path / "two-way.toml").write_text(with_ways("two-way", None), encoding="utf-8")
    for name, text in station_files("two-boxes").items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-c", RECORD, *words, "--quiet"], cwd=tmp_path, capture_output=True, text=True, check=True
    )
    (manifest,) = (tmp_path / "output").glob("*/manifest.json")
    named = json.loads(manifest.read_bytes())["libraries"]
    assert set(named) == (set(done.stderr.split()) & asked_for()) - COMMAND_LINE
    assert named == {library: version(library) for library in named}
