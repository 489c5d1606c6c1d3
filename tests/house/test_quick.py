"""The fast loop finds the tests of what changed, and slow tests bear their mark."""

import re

import pytest

from tests.house.checkout import TOP, files
from tests.quick import OF_FILES, folders

SLOW = """
import time
{mark}
def test_it():
    start = time.process_time()
    while time.process_time() - start < {seconds}:
        pass
"""


@pytest.mark.parametrize(
    ("name", "folder"),
    [
        ("boardgen/sizing/size.py", "tests/sizing"),
        ("boardgen/documents/book/book.py", "tests/documents"),
        ("boardgen/station_design.py", "tests/station"),
        ("tests/rf/rf_boards.py", "tests/rf"),
        ("docs/limits.md", "tests/docs"),
        ("README.md", "tests/docs"),
        ("parts/relays.toml", "tests/catalogue"),
        ("templates/two-way.toml", "tests/spec"),
    ],
)
def test_a_change_runs_the_tests_of_its_folder(name, folder):
    assert folders([name]) == [folder, "tests/house"]


def test_every_folder_of_the_package_has_tests_or_is_seen_by_those_of_others():
    """Where a folder has no tests of its own name, a change of it is left to `make test`: these are known."""
    own = {path.name for path in (TOP / "boardgen").iterdir() if (path / "__init__.py").is_file()}
    tested = {path.name for path in (TOP / "tests").iterdir() if path.is_dir()}
    assert own - tested - OF_FILES.keys() <= {"model", "tables", "rf_network"}


@pytest.mark.parametrize(
    ("mark", "seconds", "outcome"),
    [("", 0.0, {"passed": 1}), ("", 0.2, {"failed": 1}), ("@pytest.mark.slow", 0.2, {"passed": 1})],
)
def test_a_test_that_takes_long_needs_the_mark(pytester, monkeypatch, mark, seconds, outcome):
    """With a piece of work made small, so that a fifth of a second is long."""
    monkeypatch.setenv("PYTHONPATH", str(TOP))
    pytester.makepyprojecttoml('[tool.pytest.ini_options]\nmarkers = ["slow: long", "peer: outside"]')
    pytester.makeconftest(
        "from tests import processor_time\nprocessor_time.PIECE = 4_000\nprocessor_time.MOST = 20\n"
        "from tests.processor_time import pytest_fixture_setup, pytest_runtest_call\n"
    )
    head = "import pytest\n" if mark else ""
    pytester.makepyfile(head + SLOW.format(mark=mark, seconds=seconds))
    pytester.runpytest_subprocess("-p", "no:cacheprovider").assert_outcomes(**outcome)


def test_no_test_has_a_limit_on_time():
    """A busy machine makes none fail: limits on time stand in tests/bench, as ratios to peers."""
    clock = re.compile(
        r"\btime" + r"out=|\bwa" + r"it\([0-9]|\bperf_" + r"counter\(|\bmono" + r"tonic\(|\btime\.ti" + r"me\("
    )
    tests = [p for p in files() if p.suffix == ".py" and p.is_relative_to(TOP / "tests") and "bench" not in p.parts]
    assert len(tests) > 200
    assert [p.name for p in tests if clock.search(p.read_text(encoding="utf-8"))] == []
