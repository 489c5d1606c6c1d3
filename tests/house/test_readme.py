"""What the README shows is what the program prints."""

import re
import subprocess
import sys
from pathlib import Path

TOP = Path(__file__).parents[2]
README = (TOP / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"```text\n(.*?)```", README, re.DOTALL)


def printed(folder: Path, *arguments: str) -> str:
    """Standard output of a command on the four-way template, in an empty folder."""
    spec = folder / "four-way.toml"
    spec.write_bytes((TOP / "templates" / "four-way.toml").read_bytes())
    command = [sys.executable, "-m", "boardgen", arguments[0], spec.name, *arguments[1:]]
    return subprocess.run(command, cwd=folder, capture_output=True, text=True, encoding="utf-8").stdout


def test_the_demonstration(tmp_path):
    assert printed(tmp_path, "build") == BLOCKS[0]


def test_the_values(tmp_path):
    lines = printed(tmp_path, "values").splitlines()
    assert [line for line in BLOCKS[1].splitlines() if line not in lines] == []


def test_the_comparison(tmp_path):
    assert printed(tmp_path, "compare", "--lowest", "472 kHz") == BLOCKS[2]


def test_it_opens_with_the_job_and_names_the_two_commands():
    job = README.split("\n\n")[1]
    assert job.startswith("A keen low-band radio listener")
    assert "make demo" in README
    assert "make test" in README
