"""The PDF beside each drawing and page that is meant for paper."""

from __future__ import annotations

from collections.abc import Mapping

from boardgen.documents.letters import font_faces
from boardgen.documents.pictures.board_picture import ON_PAPER, PRINTED
from boardgen.documents.pictures.sheets import Sheet, sheets_of, whole
from boardgen.formats.pdf import pdf

PAGES = ("book.html", "appendix.html")
"""Pages that say themselves how they print."""
DRAWINGS = ("drill-template.svg",)
"""Drawings that fill a sheet of their own size, in millimetres."""
SHEETS = ("schematic.svg", "labels.svg")
"""Drawings of several sheets, each an SVG of the class "sheet" whose unit is a millimetre."""


def pdf_files(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """A PDF of each of those among the files."""
    # the library knows no media inside a drawing
    found = {
        name: pdf(files[name].decode().replace(PRINTED, f"<style>{ON_PAPER}</style>"))
        for name in PAGES
        if name in files
    }
    found |= {name: pdf(_page([whole(files[name].decode())])) for name in DRAWINGS if name in files}
    found |= {name: pdf(_page(sheets_of(files[name].decode()))) for name in SHEETS if name in files}
    return {name.rpartition(".")[0] + ".pdf": made for name, made in found.items()}


def _page(sheets: list[Sheet]) -> str:
    """A page without margins for each sheet. Sheets of one drawing have one size."""
    wide, high = sheets[0].wide_mm, sheets[0].high_mm
    drawn = "".join(sheet.svg for sheet in sheets)
    style = font_faces(drawn) + (
        f"@page{{size:{wide:g}mm {high:g}mm;margin:0}}body{{margin:0}}"
        # a block, or the line that holds the picture is taller than the page
        f"body>svg{{display:block;width:{wide:g}mm;height:{high:g}mm}}body>svg+svg{{break-before:page}}"
    )
    return f'<!doctype html><html lang="en"><meta charset="utf-8"><style>{style}</style><body>{drawn}</body></html>'
