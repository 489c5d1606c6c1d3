"""Where the data that come with the program lie."""

from __future__ import annotations

from pathlib import Path


def parts_folder() -> Path:
    """`parts` inside the installed package, else beside the package in a checkout."""
    package = Path(__file__).resolve().parent.parent
    inside = package / "parts"
    return inside if inside.is_dir() else package.parent / "parts"
