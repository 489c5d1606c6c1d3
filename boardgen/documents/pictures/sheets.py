"""Drawings of several sheets: one SVG holds them under each other, and each can be taken out of it by itself."""

from __future__ import annotations

import re
from collections.abc import Sequence

from msgspec import Struct

from boardgen.documents.canvas import PAPER, Canvas

_SIZE = re.compile(r'<svg [^>]*?width="([0-9.]+)mm" height="([0-9.]+)mm"')
_SHEET = re.compile(r'<svg class="sheet" y="[0-9.]+" width="([0-9.]+)" height="([0-9.]+)".*?</svg>', re.DOTALL)


class Sheet(Struct, frozen=True):
    """An SVG whose unit is a millimetre, and its size."""

    wide_mm: float
    high_mm: float
    svg: str


def sheets_svg(
    title: str, sheets: Sequence[Canvas], wide: float, high: float, *, between: float = 0.0, paper: str = PAPER
) -> str:
    """Sheets of one size, in millimetres, under each other with so much between them."""
    whole, count = Canvas(), len(sheets)
    for n, sheet in enumerate(sheets):
        name = f"{title}, sheet {n + 1} of {count}"
        y = n * (high + between)
        whole.write(sheet.sheet(wide, high, name, paper=paper, class_="sheet", y=y, width=wide, height=high))
    return whole.svg(wide, count * (high + between) - between, title, paper="")


def sheets_of(drawing: str) -> list[Sheet]:
    """Each sheet of such a drawing as an SVG of its own. Raises ValueError where there is none."""
    found = [
        Sheet(float(m[1]), float(m[2]), re.sub(' y="[0-9.]+"', "", m[0], count=1)) for m in _SHEET.finditer(drawing)
    ]
    if not found:
        raise ValueError("a drawing without sheets")
    return found


def whole(drawing: str) -> Sheet:
    """A drawing that is one sheet. Raises ValueError where it has no size in millimetres."""
    size = _SIZE.search(drawing)
    if size is None:
        raise ValueError("a drawing without a size in millimetres")
    return Sheet(float(size[1]), float(size[2]), drawing)
