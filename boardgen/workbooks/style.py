"""How a workbook looks: few sizes, hairlines, and nothing said by colour alone.

A look is given to the library as its own properties of a format.
"""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from boardgen.workbooks.sheet import Font

INK = "#1D2A33"
SOFT_INK = "#5A6872"
HAIRLINE = "#C9CFCB"
PANEL = "#F1EFE8"
SANS = "Arial"
MONOSPACE = "Courier New"
SIZES: dict[Font, int] = {
    "title": 14,
    "body": 10,
    "soft": 9,
    "strong": 10,
    "code": 10,
    "label": 10,
    "link": 10,
    "heading": 9,
}
"""Points."""
AS_TEXT = "@"
"""The number format under which whatever is typed stays text."""

Align = Literal[
    "", "left", "indented", "right", "right text", "right heading", "left heading", "indented heading", "line"
]
Border = Literal["", "under", "over", "between"]
_THIN = 1
"""The number of a thin border, and of a solid fill."""


class Look(Struct, frozen=True):
    """How a cell looks. An entry is boxed, shaded, never `locked`; `quote` keeps a text that begins like a formula."""

    font: Font
    align: Align
    border: Border = ""
    form: str = ""
    entry: bool = False
    quote: bool = False
    locked: bool = True


BODY = {"font_name": SANS, "font_size": SIZES["body"], "font_color": INK, "font_family": 0, "font_scheme": False}
"""The plain style of the workbook, in whose digits columns are measured."""
_FONTS: dict[Font, dict[str, object]] = {
    "title": {"bold": True},
    "body": {},
    "soft": {"font_color": SOFT_INK},
    "strong": {"bold": True},
    "code": {"font_name": MONOSPACE},
    "label": {"font_color": SOFT_INK},
    "link": {"underline": True},
    "heading": {"bold": True, "font_color": SOFT_INK},
}
_ALIGNS: dict[Align, dict[str, object]] = {
    "": {},
    "left": {"align": "left", "valign": "vcenter", "text_wrap": True},
    "indented": {"align": "left", "valign": "vcenter", "text_wrap": True, "indent": 1},
    "right": {"align": "right", "valign": "vcenter"},
    "right text": {"align": "right", "valign": "vcenter", "indent": 1},
    "right heading": {"align": "right", "valign": "bottom", "text_wrap": True, "indent": 1},
    "left heading": {"align": "left", "valign": "bottom", "text_wrap": True},
    "indented heading": {"align": "left", "valign": "bottom", "text_wrap": True, "indent": 1},
    "line": {"align": "left", "valign": "vcenter"},
}
_BORDERS: dict[Border, dict[str, object]] = {
    "": {},
    "under": {"bottom": _THIN, "bottom_color": SOFT_INK},
    "over": {"top": _THIN, "top_color": SOFT_INK},
    "between": {"top": _THIN, "top_color": HAIRLINE},
}
_ENTRY = {"border": _THIN, "border_color": SOFT_INK, "pattern": _THIN, "fg_color": PANEL, "locked": False}


def properties(look: Look) -> dict[str, object]:
    """The look as properties of a format of the library that writes workbooks."""
    return {
        "font_size": SIZES[look.font],
        **_FONTS[look.font],
        **_ALIGNS[look.align],
        **(_ENTRY if look.entry else {} if look.locked else {"locked": False}),
        **_BORDERS[look.border],
        **({"num_format": look.form} if look.form else {}),
        "quote_prefix": look.quote,
    }
