"""Installed as a wheel outside the checkout, the program works as well as in it."""

import os
import shutil
import subprocess
import sys
import sysconfig
from pathlib import Path
from zipfile import ZipFile

import pytest

from boardgen import __version__
from tests.house.checkout import TOP, files

pytestmark = pytest.mark.slow


def run(folder: Path, home: Path, *words: str, python: str = sys.executable, **environment: str) -> str:
    """The output of Python with these words, in this folder and with nothing of our own environment but PATH."""
    bare = {"PATH": os.environ["PATH"], "HOME": str(home), "PIP_DISABLE_PIP_VERSION_CHECK": "1", "PIP_NO_INDEX": "1"}
    done = subprocess.run(
        [python, *words], cwd=folder, env=bare | environment, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory) -> Path:
    """The wheel, built from a copy of the checkout's files."""
    copy = tmp_path_factory.mktemp("copy")
    for path in files():
        target = copy / path.relative_to(TOP)
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(path, target)
    made = tmp_path_factory.mktemp("made")
    home = tmp_path_factory.mktemp("home")
    words = ("wheel", "--quiet", "--no-cache-dir", "--no-deps", "--no-build-isolation", "--wheel-dir", str(made), ".")
    run(copy, home, "-m", "pip", *words)
    (path,) = made.glob("*.whl")
    return path


@pytest.fixture(scope="module")
def installed(wheel, tmp_path_factory) -> Path:
    """The Python of an empty environment into which the wheel is installed; libraries are lent by this one."""
    folder = tmp_path_factory.mktemp("environment")
    home = tmp_path_factory.mktemp("home")
    run(folder, home, "-m", "venv", "--without-pip", str(folder))
    (packages,) = folder.glob("lib/python*/site-packages")
    words = ("install", "--quiet", "--no-deps", "--no-cache-dir", "--target", str(packages), str(wheel))
    run(folder, home, "-m", "pip", *words)
    # a path in such a file is searched for packages, and not for further files of its kind: not for our own checkout
    (packages / "lent.pth").write_text(sysconfig.get_path("purelib"), encoding="utf-8")
    return folder / "bin" / "python"


def test_the_wheel_holds_the_data_and_nothing_of_the_tests(wheel):
    with ZipFile(wheel) as archive:
        names = set(archive.namelist())
        packed = {name: archive.read(name) for name in names if name.endswith((".toml", ".csv"))}
    data = [p for p in files() if p.relative_to(TOP).parts[0] in ("parts", "templates")]
    assert len(data) > 20
    for path in data:
        if path.suffix in (".toml", ".csv"):
            assert packed[f"boardgen/{path.relative_to(TOP).as_posix()}"] == path.read_bytes()
    code = {p.relative_to(TOP).as_posix() for p in files() if p.suffix == ".py" and p.is_relative_to(TOP / "boardgen")}
    assert code == {name for name in names if name.endswith(".py")}
    assert {name.split("/")[0] for name in names if ".dist-info" not in name} == {"boardgen"}


def test_an_installed_program_builds_the_same(installed, tmp_path):
    built = []
    for name, python in (("installed", str(installed)), ("checkout", sys.executable)):
        here, home = tmp_path / name, tmp_path / f"home of {name}"
        here.mkdir()
        home.mkdir()
        own = {"python": python} | ({"PYTHONPATH": str(TOP)} if name == "checkout" else {})
        where = Path(run(here, home, "-c", "import boardgen; print(boardgen.__file__)", **own).strip())
        assert where.is_relative_to(TOP if name == "checkout" else installed.parents[1])
        said = run(here, home, "-m", "boardgen", "start", "board.toml", "--template", "four-way-feeds", **own)
        said += run(here, home, "-m", "boardgen", "build", "board.toml", **own)
        files_made = {p.relative_to(here): p.read_bytes() for p in here.rglob("*") if p.is_file()}
        built.append((said, files_made))
        assert list(home.iterdir()) == []
    assert built[0][1].keys() == built[1][1].keys()
    assert [name for name, data in built[0][1].items() if data != built[1][1][name]] == []
    assert built[0][0] == built[1][0]


def test_the_installed_package_says_its_version(installed, tmp_path):
    """The one of the module is that of the package."""
    shown = "boardgen.__version__, version('lowband-boardgen')"
    code = f"import boardgen; from importlib.metadata import version; print({shown})"
    assert run(tmp_path, tmp_path, "-c", code, python=str(installed)).split() == [__version__] * 2
