"""Drawings and pages that show themselves in a notebook."""

from __future__ import annotations

from pathlib import Path

from msgspec import Struct


class Drawing(Struct, frozen=True):
    """A drawing as SVG; the last value of a notebook's cell is shown."""

    name: str
    svg: str

    def __repr__(self) -> str:
        return f"<Drawing {self.name}>"

    def _repr_svg_(self) -> str:
        return self.svg

    def save(self, path: str | Path) -> None:
        """Writes it into a file."""
        Path(path).write_text(self.svg, encoding="utf-8")


class Page(Struct, frozen=True):
    """A document as one page of HTML that needs no other file."""

    name: str
    html: str

    def __repr__(self) -> str:
        return f"<Page {self.name}>"

    def _repr_html_(self) -> str:
        return self.html
