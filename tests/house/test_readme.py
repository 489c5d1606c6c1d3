"""What the README shows is what the program prints, and it stays short."""

import re
import subprocess
import sys

import pytest

from tests.house.checkout import TOP

README = (TOP / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"```text\n(.*?)```", README, re.DOTALL)
MOST_LINES = 120


@pytest.mark.slow
def test_the_demonstration(tmp_path):
    """Line by line, in this order; what stands between them is left out."""
    (tmp_path / "four-way.toml").write_bytes((TOP / "templates" / "four-way.toml").read_bytes())
    command = [sys.executable, "-m", "boardgen", "build", "four-way.toml"]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, encoding="utf-8", check=True)
    shown = list(filter(None, BLOCKS[0].splitlines()))
    assert len(shown) > 5
    assert [line for line in done.stdout.splitlines() if line in shown] == shown


def test_it_opens_with_the_job_and_names_the_two_commands():
    assert README.split("\n\n")[1].startswith("A keen low-band radio listener")
    commands = README.split("## Two commands")[1].split("##")[0]
    assert "make demo" in commands
    assert "make test" in commands


def test_it_is_short_and_its_cautions_stand_in_the_first_half():
    lines = README.splitlines()
    assert len(lines) <= MOST_LINES
    assert lines.index("## Cautions first") < MOST_LINES / 2


def test_no_page_sends_the_reader_to_a_package_of_the_same_name():
    """On the public index that is another program: only this folder is installed."""
    pages = [*TOP.glob("*.md"), *TOP.glob("docs/*.md"), *(TOP / "boardgen").rglob("*.py")]
    assert len(pages) > 100
    wrong = re.compile(r"(pip|pipx) install[^\n`]*[\"' ]boardgen\b")
    assert [path.name for path in pages if wrong.search(path.read_text(encoding="utf-8"))] == []
