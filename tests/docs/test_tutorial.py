"""The tutorial does what it says, command by command, in an empty folder."""

import re
import shlex
import subprocess
import sys

import pytest

from tests.docs.pages import blocks, page

PRICES = "my-prices.csv"
FALLS_SHORT_OR_DONE = (0, 1)


@pytest.mark.slow
def test_the_tutorial_can_be_followed(tmp_path):
    """A block of text is what the command before it printed; a command that the page shows refused fails."""
    from boardgen.catalogue.load import parts_folder

    (tmp_path / PRICES).write_bytes((parts_folder() / "prices" / "demo-cad.csv").read_bytes())
    done, commands, shown = None, 0, 0
    for kind, content in blocks(page("docs/first-board.md")):
        if kind == "sh":
            for line in content.splitlines():
                program, *words = shlex.split(line)
                assert program == "boardgen"
                command = [sys.executable, "-m", "boardgen", *words]
                done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, encoding="utf-8")
                refused = "mHz" in line
                assert done.returncode == 2 if refused else done.returncode in FALLS_SHORT_OR_DONE, done.stderr
                commands += 1
        elif kind == "text":
            assert done.stdout + done.stderr == content
            shown += 1
    assert commands == 8
    assert shown == 3
    made = tmp_path / "output" / "Larkfield four-way"
    outputs = page("docs/outputs.md")
    names = [re.sub("s[0-9]+p", "s<ports>p", path.name) for path in made.iterdir()]
    assert [name for name in names if f"`{name}" not in outputs] == []
    assert all((made / name).is_file() for name in ("book.html", "bill.xlsx", "fabrication/Larkfield-four-way-A.zip"))
