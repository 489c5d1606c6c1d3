"""LibreOffice, which works workbooks out anew."""

import os
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest


@pytest.fixture
def office(tmp_path: Path) -> Callable[..., bytes]:
    """Gives a workbook as LibreOffice saves it, with the values that it comes to, in the form of that ending."""
    found = shutil.which("soffice")
    if found is None:
        reason = "NOT CHECKED: the workbook was not recalculated, because LibreOffice (soffice) is not installed"
        (pytest.fail if os.environ.get("CI") else pytest.skip)(reason)

    def saved(data: bytes, ending: str = "xlsx") -> bytes:
        (tmp_path / "book.xlsx").write_bytes(data)
        profile = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
        command = [str(found), profile, "--headless", "--convert-to", ending, "--outdir", "done", "book.xlsx"]
        subprocess.run(command, cwd=tmp_path, check=True, capture_output=True)
        return (tmp_path / "done" / f"book.{ending}").read_bytes()

    return saved
