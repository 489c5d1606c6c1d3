"""A user's folder of parts, written for a test, and what loading it over ours gives."""

from pathlib import Path

import pytest

from boardgen.catalogue import Catalogue, load
from boardgen.model.problem import InputError, Problem

PART = """
[[part]]
key = "KEY"
kind = "capacitor"
maker = "Own"
number = "X1"
value = "100 nF"
description = "own capacitor"
footprint = "capacitor-2.54"
standing = "read"
source = "own sheet"
pins = { 1 = "1", 2 = "2" }
figures = { capacitance = "100 nF +-10 %", "rated voltage" = "63 V" }
"""


def part(key: str = "own-100nf", **changes: str) -> str:
    """PART with the lines of these keys replaced."""
    lines = PART.replace("KEY", key).splitlines()
    for name, value in changes.items():
        lines = [f"{name} = {value}" if line.startswith(f"{name} =") else line for line in lines]
    return "\n".join(lines) + "\n"


def over(folder: Path, **files: str) -> Catalogue:
    """The catalogue with these files, by stem, over ours."""
    for stem, text in files.items():
        (folder / f"{stem}.toml").write_text(text, encoding="utf-8")
    return load(folder)


def problems(folder: Path, **files: str) -> tuple[Problem, ...]:
    """What is wrong with these files."""
    with pytest.raises(InputError) as caught:
        over(folder, **files)
    return caught.value.problems


def problem(folder: Path, text: str) -> Problem:
    """The one thing that is wrong with this text as own.toml."""
    (only,) = problems(folder, own=text)
    return only
