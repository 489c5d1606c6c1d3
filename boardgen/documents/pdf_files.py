"""The PDF beside each drawing and page that is meant for paper."""

from __future__ import annotations

import re
from collections.abc import Mapping

from boardgen.files.pdf import pdf

PAGES = ("book.html",)
"""Pages that say themselves how they print."""
DRAWINGS = ("schematic.svg", "drill-template.svg", "labels.svg")
"""Drawings that fill a sheet of their own size, in millimetres."""
_SIZE = re.compile(rb'<svg [^>]*?width="([0-9.]+)mm" height="([0-9.]+)mm"')


def pdf_files(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """A PDF of each of those among the files."""
    found = {name: pdf(files[name].decode()) for name in PAGES if name in files}
    found |= {name: pdf(drawn_page(files[name])) for name in DRAWINGS if name in files}
    return {name.rpartition(".")[0] + ".pdf": made for name, made in found.items()}


def drawn_page(svg: bytes) -> str:
    """A page without margins, of the size of the drawing on it. Raises ValueError where it has no size in mm."""
    size = _SIZE.search(svg)
    if size is None:
        raise ValueError("a drawing without a size in millimetres")
    wide, high = (text.decode() for text in size.groups())
    # a block, or the line that holds the picture is taller than the page
    style = f"@page{{size:{wide}mm {high}mm;margin:0}}body{{margin:0}}svg{{display:block}}"
    return f'<!doctype html><html lang="en"><meta charset="utf-8"><style>{style}</style>{svg.decode()}</html>'
