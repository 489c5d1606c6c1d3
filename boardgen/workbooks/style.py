"""How the workbook looks: few sizes, hairlines, and nothing said by colour alone."""

from __future__ import annotations

from msgspec import Struct
from openpyxl.cell import Cell
from openpyxl.styles import Alignment, Border, Font, PatternFill, Protection, Side

from boardgen.workbooks.text_width import Kind

INK = "1D2A33"
SOFT_INK = "5A6872"
HAIRLINE = "C9CFCB"
PANEL = "F1EFE8"

SANS = "Arial"
MONOSPACE = "Courier New"
BODY_SIZE = 10
SMALL_SIZE = 9
TITLE_SIZE = 14

TITLE = Font(name=SANS, size=TITLE_SIZE, bold=True, color=INK)
BODY = Font(name=SANS, size=BODY_SIZE, color=INK)
SOFT = Font(name=SANS, size=SMALL_SIZE, color=SOFT_INK)
STRONG = Font(name=SANS, size=BODY_SIZE, bold=True, color=INK)
CODE = Font(name=MONOSPACE, size=BODY_SIZE, color=INK)
LABEL = Font(name=SANS, size=BODY_SIZE, color=SOFT_INK)
LINK = Font(name=SANS, size=BODY_SIZE, color=INK, underline="single")
HEADING = Font(name=SANS, size=SMALL_SIZE, bold=True, color=SOFT_INK)

_HAIRLINE = Side(style="thin", color=HAIRLINE)
_INK_LINE = Side(style="thin", color=SOFT_INK)
UNDER = Border(bottom=_INK_LINE)
OVER = Border(top=_INK_LINE)
BETWEEN = Border(top=_HAIRLINE)
BOXED = Border(left=_INK_LINE, right=_INK_LINE, top=_INK_LINE, bottom=_INK_LINE)
ENTRY = PatternFill("solid", fgColor=PANEL)
OPEN = Protection(locked=False)

LEFT = Alignment(horizontal="left", vertical="center", wrap_text=True)
INDENTED = Alignment(horizontal="left", vertical="center", wrap_text=True, indent=1)
RIGHT = Alignment(horizontal="right", vertical="center")
RIGHT_TEXT = Alignment(horizontal="right", vertical="center", indent=1)
RIGHT_HEADING = Alignment(horizontal="right", vertical="bottom", wrap_text=True, indent=1)
LEFT_HEADING = Alignment(horizontal="left", vertical="bottom", wrap_text=True)
INDENTED_HEADING = Alignment(horizontal="left", vertical="bottom", wrap_text=True, indent=1)
UNBROKEN = Alignment(horizontal="left", vertical="center")

AS_TEXT = "@"
"""The number format under which whatever is typed stays text."""

LINE_HEIGHT = 12.5
"""Points for a line of body text."""


class Column(Struct, frozen=True):
    """A column of a table. `widest` is the width at which its text is broken."""

    heading: str
    kind: Kind = "text"
    widest: int = 30

    @property
    def narrowest(self) -> int:
        """The least width."""
        return 7 if self.kind == "number" else 5


class Look(Struct, frozen=True):
    """How a cell looks; its parts are those of this module. An entry is boxed, shaded and not locked."""

    font: Font
    alignment: Alignment
    border: Border | None = None
    form: str = ""
    entry: bool = False

    @property
    def key(self) -> tuple[int, int, int, str, bool]:
        """The same for the same look: the library's own comparison of its parts takes a hundred times as long."""
        return id(self.font), id(self.alignment), id(self.border), self.form, self.entry

    def give(self, cell: Cell) -> None:
        """Sets everything that differs from a plain cell."""
        cell.font, cell.alignment = self.font, self.alignment
        if self.form:
            cell.number_format = self.form
        if self.entry:
            cell.fill, cell.border, cell.protection = ENTRY, BOXED, OPEN
        if self.border:
            cell.border = self.border


PAD = "_0_."
"""Ends a number format: the room that an indent would leave, which not every program grants to numbers."""


def digits(places: int, more: int = 0) -> str:
    """The number format with so many decimals, room for some `more`, and a mark between thousands."""
    return "#,##0" + ("." + "0" * places if places else "") + "?" * more + PAD
