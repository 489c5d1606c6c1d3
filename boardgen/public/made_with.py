"""What the files of a folder were made with: this program and the libraries that have a hand in their bytes."""

from __future__ import annotations

from collections.abc import Iterable
from importlib.metadata import version

BOARD = (
    "fonttools", "jinja2", "matplotlib", "msgspec", "numpy", "pydantic", "scipy", "segno", "sexpdata", "shapely",
    "skidl", "xlsxwriter",
)  # fmt: skip
"""A test proves that a build in a process of its own loads these, and no other that the package asks for."""
ORDER = ("jinja2", "msgspec", "numpy", "pydantic", "scipy", "shapely", "skidl", "xlsxwriter")
PLOT = ("fonttools", "matplotlib")
STATE = ("msgspec", "numpy", "pydantic")
PDF, DXF = ("weasyprint",), ("ezdxf",)


def versions(libraries: Iterable[str]) -> dict[str, str]:
    """The installed version of each."""
    return {name: version(name) for name in libraries}
