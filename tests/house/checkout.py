"""The files of the checkout."""

import shutil
import subprocess
from pathlib import Path

import pytest

TOP = Path(__file__).parents[2]


def files() -> list[Path]:
    """Every file that is tracked, or would be: nothing that is ignored. Skips the test outside a checkout."""
    git = shutil.which("git")
    if git is None or not (TOP / ".git").exists():
        pytest.skip("SKIPPED: this needs git and a checkout")
    command = [git, "-C", str(TOP), "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    listed = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    return [TOP / name for name in listed.split("\0") if name and (TOP / name).is_file()]
