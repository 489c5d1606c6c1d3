"""NOTICE names every library that an installation brings along, and what may be left out is not used."""

import re
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Iterable
from importlib.metadata import requires

from packaging.requirements import Requirement

from tests.house.checkout import TOP

NOTICE = (TOP / "NOTICE").read_text(encoding="utf-8")
PROJECT = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))["project"]
LEFT_OUT = re.findall(r"pip uninstall ([\w ]+)\.", NOTICE)[0].split()


def plain(name: str) -> str:
    """The name as the package index compares it."""
    return re.sub(r"[-_.]+", "-", name).casefold()


def brought(wanted: Iterable[str]) -> set[str]:
    """The names of these requirements and of all that they need in turn, on this system."""
    found: set[str] = set()
    waiting = [(Requirement(text), "") for text in wanted]
    while waiting:
        requirement, extra = waiting.pop()
        if requirement.marker is not None and not requirement.marker.evaluate({"extra": extra}):
            continue
        name = plain(requirement.name)
        if name not in found:
            found.add(name)
            waiting += [(Requirement(text), e) for text in requires(name) or () for e in (*requirement.extras, "")]
    return found


def test_every_library_that_is_installed_is_named_with_its_licence():
    extras = PROJECT["optional-dependencies"]
    named = {plain(name) for name in re.findall(r"([\w-]+)\s\((?=[^)]*[A-Za-z])", NOTICE)}
    needed = brought([*PROJECT["dependencies"], *extras["page"], *extras["pdf"], *extras["dxf"]])
    assert len(needed) > 40
    assert needed - named == set()


def test_a_netlist_is_made_without_what_may_be_left_out(tmp_path):
    """Loading any of it would end the command."""
    assert "InSpice" in LEFT_OUT
    shutil.copyfile(TOP / "templates" / "two-way.toml", tmp_path / "two-way.toml")
    code = f"""
import sys
sys.modules.update(dict.fromkeys({LEFT_OUT!r}))
from boardgen import design_board
print(len(design_board("two-way.toml", layout=False).netlist.nets))
import skidl
"""
    done = subprocess.run([sys.executable, "-c", code], cwd=tmp_path, check=True, capture_output=True, text=True)
    assert int(done.stdout) > 10
