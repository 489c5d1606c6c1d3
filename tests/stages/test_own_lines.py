"""Lines of their own of stages in the output's strip reach their terminals and studs, however many there are."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SPECIFICATION = """
title = "own lines"
[band]
lowest = "1.8 MHz"
highest = "10 MHz"
impedance = "75 ohm"
{antennas}
[output]
[protection]
surge = {surge}
{earth}
[control]
length = "50 m"
cables = 2
entry = "{entry}"
"""


def specification(ways: int, entry: str, earth: str = "") -> str:
    """A board of so many ways with that kind of entry; with surge protection where earth and 0V are so joined."""
    antennas = "\n".join(f'[[antenna]]\nlabel = "a{way}"' for way in range(1, ways + 1))
    earth_key = f'earth_to_0v = "{earth}"' if earth else ""
    surge = "true" if earth else "false"
    return SPECIFICATION.format(antennas=antennas, entry=entry, earth=earth_key, surge=surge)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("pads", "texts"),
    [
        (2, [specification(2, "studs", "linked")]),
        (3, [specification(1, "terminals")]),
    ],
)
def test_each_line_reaches_its_terminal(tmp_path: Path, pads: int, texts: list[str]) -> None:
    paths = [tmp_path / f"{number}.toml" for number in range(len(texts))]
    for path, text in zip(paths, texts, strict=True):
        path.write_text(text, encoding="utf-8")
    script = Path(__file__).with_name("lay_out_pads.py")
    command = [sys.executable, str(script), str(pads), *map(str, paths)]
    environment = os.environ | {"PYTHONPATH": str(ROOT)}
    run = subprocess.run(command, capture_output=True, text=True, check=False, env=environment)
    assert run.returncode == 0, run.stderr
    for board in json.loads(run.stdout):
        assert board["lines"] == [f"pad {step}" for step in range(1, pads + 1)]
        assert board["faults"] == []
