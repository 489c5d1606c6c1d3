"""The sheets of a drawing: one SVG holds them under each other, and each can be taken out of it by itself."""

from __future__ import annotations

import re

from msgspec import Struct

_SIZE = re.compile(r'<svg [^>]*?width="([0-9.]+)mm" height="([0-9.]+)mm"')
_SHEET = re.compile(
    r'<svg (?:y="[0-9.]+" )?class="sheet" [^>]*?width="([0-9.]+)" height="([0-9.]+)".*?</svg>', re.DOTALL
)


class Sheet(Struct, frozen=True):
    """An SVG whose unit is a millimetre, and its size."""

    wide_mm: float
    high_mm: float
    svg: str


def sheets_of(drawing: bytes) -> list[Sheet]:
    """Each sheet of a schematic or of labels as an SVG of its own. Raises ValueError where there is none."""
    found = [
        Sheet(float(m[1]), float(m[2]), re.sub('^<svg y="[0-9.]+"', "<svg", m[0]))
        for m in _SHEET.finditer(drawing.decode())
    ]
    if not found:
        raise ValueError("a drawing without sheets")
    return found


def whole(drawing: bytes) -> Sheet:
    """A drawing that is one sheet. Raises ValueError where it has no size in millimetres."""
    svg = drawing.decode()
    size = _SIZE.search(svg)
    if size is None:
        raise ValueError("a drawing without a size in millimetres")
    return Sheet(float(size[1]), float(size[2]), svg)
