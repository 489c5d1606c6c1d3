"""What a short command must not load, and how the modules of the package lie."""

import ast
import graphlib
import json
import subprocess
import sys
from pathlib import Path

import grimp
import pytest

from boardgen.spec.template import with_ways
from tests.house.checkout import TOP, files

HEAVY = {
    "skidl", "pandas", "openpyxl", "xlsxwriter", "numpy", "sexpdata", "kinparse", "matplotlib", "scipy", "segno",
    "weasyprint",
}  # fmt: skip
LOADED = """
import contextlib, io, json, sys
from boardgen.cli.app import main
with contextlib.redirect_stdout(io.StringIO()):
    code = main(sys.argv[1:])
print(json.dumps([code, sorted({name.split(".")[0] for name in sys.modules})]))
"""
MOST_LINES = 500


def loaded(folder, *words: str) -> set[str]:
    """The top-level modules that are loaded when a command has run."""
    command = [sys.executable, "-c", LOADED, *words]
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=True)
    code, names = json.loads(done.stdout)
    assert code == 0, done.stderr
    return set(names)


@pytest.mark.parametrize("words", [("--help",), ("--version",), ("build", "--help"), ("completion", "bash")])
def test_a_short_command_loads_no_heavy_library(tmp_path, words):
    (tmp_path / "board.toml").write_text(with_ways("four-way-feeds", None), encoding="utf-8")
    # the field of a winding's wires is solved as arrays
    assert loaded(tmp_path, *words) & HEAVY == ({"numpy"} if words[0] == "values" else set())


@pytest.mark.slow
def test_a_build_does_load_them(tmp_path):
    """So that the test above cannot pass by looking for the wrong names."""
    (tmp_path / "board.toml").write_text(with_ways("two-way", None), encoding="utf-8")
    names = loaded(tmp_path, "build", "board.toml")
    assert names >= {"skidl", "xlsxwriter", "sexpdata"}
    assert names & {"openpyxl", "pandas"} == set()


def test_no_module_imports_itself_in_a_round():
    graph = grimp.build_graph("boardgen", cache_dir=None)
    imports = {module: graph.find_modules_directly_imported_by(module) for module in graph.modules}
    assert len(imports) > 100
    # the names that the package gives to scripts are loaded when they are asked for
    imports["boardgen"] = set()
    graphlib.TopologicalSorter(imports).prepare()


def python_files() -> list[Path]:
    return [p for p in files() if p.suffix == ".py" and p.relative_to(TOP).parts[0] in ("boardgen", "tests")]


def test_no_file_is_long():
    lengths = {str(p.relative_to(TOP)): p.read_text(encoding="utf-8").count("\n") for p in python_files()}
    assert len(lengths) > 150
    assert {name: length for name, length in lengths.items() if length > MOST_LINES} == {}


def test_every_module_says_what_it_is_for():
    modules = [p for p in python_files() if p.is_relative_to(TOP / "boardgen")]
    bare = [p for p in modules if not ast.get_docstring(ast.parse(p.read_text(encoding="utf-8")))]
    assert [str(p.relative_to(TOP)) for p in bare] == []
