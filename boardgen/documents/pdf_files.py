"""The PDF beside each drawing and page that is meant for paper."""

from __future__ import annotations

import re
from collections.abc import Mapping

from boardgen.files.pdf import pdf

PAGES = ("book.html",)
"""Pages that say themselves how they print."""
DRAWINGS = ("drill-template.svg",)
"""Drawings that fill a sheet of their own size, in millimetres."""
SHEETS = ("schematic.svg", "labels.svg")
"""Drawings of several sheets, each an SVG of the class "sheet" whose unit is a millimetre."""
_SIZE = re.compile(r'<svg [^>]*?width="([0-9.]+)mm" height="([0-9.]+)mm"')
_SHEET = re.compile(
    r'<svg (?:y="[0-9.]+" )?class="sheet" [^>]*?width="([0-9.]+)" height="([0-9.]+)".*?</svg>', re.DOTALL
)


def pdf_files(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """A PDF of each of those among the files."""
    found = {name: pdf(files[name].decode()) for name in PAGES if name in files}
    found |= {name: pdf(_page(_whole(files[name].decode()))) for name in DRAWINGS if name in files}
    found |= {name: pdf(_page(_sheets(files[name].decode()))) for name in SHEETS if name in files}
    return {name.rpartition(".")[0] + ".pdf": made for name, made in found.items()}


Sheet = tuple[str, str, str]
"""Width and height in millimetres, and the SVG."""


def _whole(svg: str) -> list[Sheet]:
    """A drawing as one sheet. Raises ValueError where it has no size in mm."""
    size = _SIZE.search(svg)
    if size is None:
        raise ValueError("a drawing without a size in millimetres")
    return [(size[1], size[2], svg)]


def _sheets(svg: str) -> list[Sheet]:
    """The sheets of a drawing. Raises ValueError where it has none."""
    found = [(m[1], m[2], re.sub('<svg y="[0-9.]+"', "<svg", m[0])) for m in _SHEET.finditer(svg)]
    if not found:
        raise ValueError("a drawing without sheets")
    return found


def _page(sheets: list[Sheet]) -> str:
    """A page without margins for each sheet. Sheets of one drawing have one size."""
    wide, high, _ = sheets[0]
    style = (
        f"@page{{size:{wide}mm {high}mm;margin:0}}body{{margin:0}}"
        # a block, or the line that holds the picture is taller than the page
        f"body>svg{{display:block;width:{wide}mm;height:{high}mm}}body>svg+svg{{break-before:page}}"
    )
    drawn = "".join(svg for _, _, svg in sheets)
    return f'<!doctype html><html lang="en"><meta charset="utf-8"><style>{style}</style><body>{drawn}</body></html>'
