"""One sheet of the workbook: a title, a table under a frozen heading, and its print set-up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import ceil
from textwrap import wrap
from typing import TypeAlias, cast

from openpyxl.cell import Cell
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.header_footer import HeaderFooterItem
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.worksheet import Worksheet

from boardgen.files import workbook_style as style
from boardgen.files.harmless import looks_like_formula, printable

_LONGEST_IN_HEADER = 80
_PADDING = 3
_A4 = 9


@dataclass(frozen=True, slots=True)
class Number:
    """A number with its decimals; an `entry` is there to be changed by hand. None is a blank to be filled."""

    value: Decimal | float | None
    places: int = 0
    entry: bool = False


@dataclass(frozen=True, slots=True)
class Formula:
    """A formula of ours (never of the user's text) with its value, for viewers that do not calculate; None is ""."""

    text: str
    value: Decimal | None
    places: int = 0
    form: str = ""


Content: TypeAlias = str | Number | Formula


class Sheet:
    """Writes a sheet from top to bottom and remembers the value of each formula."""

    def __init__(self, worksheet: Worksheet, columns: Sequence[style.Column]) -> None:
        self.worksheet = worksheet
        self.columns = tuple(columns)
        self.next_row = 1
        self.formula_values: dict[str, Decimal | None] = {}
        self._widths = [max(c.narrowest, _length(c.heading)) for c in columns]
        self._table: dict[int, Sequence[Content]] = {}
        self._sentences: dict[int, str] = {}

    def line(self, text: str, font: Font = style.BODY) -> None:
        """A line of text across the sheet."""
        self._put(self.next_row, 1, text, font).alignment = style.UNBROKEN
        self.worksheet.row_dimensions[self.next_row].height = cast(float, font.size) * 1.4
        self.next_row += 1

    def setting(self, label: str, content: Content) -> str:
        """A labelled value above the table; returns its absolute address."""
        self._put(self.next_row, 1, label)
        cell = self._put(self.next_row, 2, content)
        self.next_row += 1
        return f"${cell.column_letter}${cell.row}"

    def heading(self) -> None:
        """The table's heading, which stays in sight and is repeated on each printed page."""
        row = self.next_row
        for number, column in enumerate(self.columns, 1):
            cell = self._put(row, number, column.heading, style.HEADING)
            left = style.INDENTED_HEADING if number > 1 else style.LEFT_HEADING
            cell.alignment = style.RIGHT_HEADING if column.kind == "number" else left
            cell.border = style.UNDER
        self.worksheet.freeze_panes = f"A{row + 1}"
        self.worksheet.print_title_rows = f"{row}:{row}"
        self._table[row] = [column.heading for column in self.columns]
        self.next_row += 1

    def row(self, contents: Sequence[Content]) -> None:
        """A row of the table, as many contents as columns."""
        for number, (column, content) in enumerate(zip(self.columns, contents, strict=True), 1):
            self._put(self.next_row, number, content, style.CODE if column.kind == "code" else style.BODY)
            length = ceil(_length(content) * column.letter_width)
            self._widths[number - 1] = max(self._widths[number - 1], min(length, column.widest))
        self._table[self.next_row] = contents
        self.next_row += 1

    def sentence(self, first: str, text: str) -> None:
        """A row with a long text over all columns but the first."""
        self._put(self.next_row, 1, first, style.CODE)
        self._put(self.next_row, 2, text)
        self.worksheet.merge_cells(
            start_row=self.next_row, end_row=self.next_row, start_column=2, end_column=len(self.columns)
        )
        self._sentences[self.next_row] = text
        self.next_row += 1

    def group(self, text: str) -> None:
        """A heading between groups of rows."""
        self.next_row += 1
        self._put(self.next_row, 1, text, style.STRONG).alignment = style.UNBROKEN
        self.next_row += 1

    def total(self, label: str, column: int, content: Content, first: bool = False) -> str:
        """A sum below its column, with its label before it; returns its address."""
        self._put(self.next_row, column - 1, label).alignment = style.RIGHT
        cell = self._put(self.next_row, column, content, style.STRONG)
        if first:
            for number in range(1, len(self.columns) + 1):
                self.worksheet.cell(self.next_row, number).border = style.OVER
        self._widths[column - 1] = max(self._widths[column - 1], _length(content) + 1)
        self.next_row += 1
        return f"{cell.column_letter}{cell.row}"

    def finish(self, title: str, revision: str) -> None:
        """Column widths fitted to the table, and the print set-up: A4 landscape, as wide as the page."""
        sheet = self.worksheet
        for number, width in enumerate(self._widths, 1):
            sheet.column_dimensions[get_column_letter(number)].width = width + _PADDING
        for row, contents in self._table.items():
            self._set_height(row, max(map(_broken, contents, self._widths, self.columns)))
        for row, text in self._sentences.items():
            self._set_height(row, _broken(text, sum(self._widths[1:]), self.columns[1]))
        sheet.sheet_view.showGridLines = False
        sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
        sheet.page_setup.orientation = "landscape"
        sheet.page_setup.paperSize = _A4
        sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
        sheet.page_margins.left = sheet.page_margins.right = 0.5
        sheet.page_margins.top = sheet.page_margins.bottom = 0.75
        header, footer = cast(HeaderFooterItem, sheet.oddHeader), cast(HeaderFooterItem, sheet.oddFooter)
        header.left.text, header.right.text = _in_header(title), f"revision {_in_header(revision)}"
        footer.left.text, footer.right.text = "&A", "page &P of &N"

    def _set_height(self, row: int, lines: int) -> None:
        self.worksheet.row_dimensions[row].height = lines * style.LINE_HEIGHT + 3

    def _put(self, row: int, column: int, content: Content, font: Font = style.BODY) -> Cell:
        """One cell. Text stays text, whatever it begins with."""
        cell = cast(Cell, self.worksheet.cell(row, column))
        cell.font = font
        left = style.INDENTED if column > 1 else style.LEFT
        cell.alignment = left if isinstance(content, str) else style.RIGHT
        if isinstance(content, Formula):
            cell.value = content.text
            cell.number_format = content.form or style.digits(content.places)
            self.formula_values[cell.coordinate] = content.value
        elif isinstance(content, Number):
            cell.value = content.value
            cell.number_format = style.digits(content.places)
            if content.entry:
                cell.fill, cell.border = style.ENTRY, style.BOXED
        elif content:
            cell.value = printable(content)
            cell.data_type = "s"
            cell.quotePrefix = looks_like_formula(content)
        return cell


def _length(content: Content) -> int:
    """How many characters the content shows in its longest line."""
    if isinstance(content, str):
        return max((len(line) for line in content.splitlines()), default=0)
    return 0 if content.value is None else len(f"{content.value:,.{content.places}f}")


def _broken(content: Content, width: int, column: style.Column) -> int:
    """Into how many lines the content is broken at this width."""
    if not isinstance(content, str):
        return 1
    room = int((width + 1) / column.letter_width)
    return max(1, sum(len(wrap(line, room)) or 1 for line in content.splitlines()))


def _in_header(text: str) -> str:
    """The text for a page header, where & begins a code."""
    return printable(text)[:_LONGEST_IN_HEADER].replace("&", "&&")
