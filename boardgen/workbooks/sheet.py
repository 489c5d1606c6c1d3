"""One sheet of the workbook: a title, a table under a frozen heading, and what stands below it."""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy
from decimal import Decimal
from math import ceil
from typing import cast

from openpyxl.cell import Cell
from openpyxl.styles import Alignment, Border, Font
from openpyxl.styles.cell_style import StyleArray
from openpyxl.utils import absolute_coordinate, get_column_letter
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.cell_range import CellRange
from openpyxl.worksheet.hyperlink import Hyperlink
from openpyxl.worksheet.worksheet import Worksheet

from boardgen.formats.harmless import looks_like_formula, printable
from boardgen.workbooks import style
from boardgen.workbooks.cells import Content, Entry, Formula, Number, TextEntry, shown
from boardgen.workbooks.print_setup import lock, set_up_print, validate
from boardgen.workbooks.sheet_names import quoted
from boardgen.workbooks.text_width import lines_of, width_of

_PADDING = 3
_ROOM_IN_PADDING = 0.5
"""What a left indent and the edges of a cell leave of the padding."""
_ROOM_BETWEEN = 4


class Sheet:
    """Writes a sheet from top to bottom and remembers the value of each formula."""

    def __init__(self, worksheet: Worksheet, columns: Sequence[style.Column]) -> None:
        self.worksheet = worksheet
        self.columns = tuple(columns)
        self.next_row = 1
        self.formula_values: dict[str, Decimal | str | None] = {}
        self._widths = [max(c.narrowest, ceil(_width(c.heading, c))) for c in columns]
        self._table: dict[int, Sequence[Content]] = {}
        self._sentences: dict[int, tuple[int, str]] = {}
        self._labels: dict[int, str] = {}
        self._entries: dict[Entry, list[str]] = {}
        self._looks: dict[object, StyleArray] = {}

    def line(self, text: str, font: Font = style.BODY) -> None:
        """A line of text across the sheet."""
        self._put(self.next_row, 1, text, font, style.UNBROKEN)
        self.worksheet.row_dimensions[self.next_row].height = cast(float, font.size) * 1.4
        self.next_row += 1

    def setting(self, label: str, content: Content) -> str:
        """A labelled value above the table; returns its absolute address."""
        self._put(self.next_row, 1, label)
        self._labels[self.next_row] = label
        cell = self._put(self.next_row, 2, content, alignment=style.UNBROKEN if isinstance(content, str) else None)
        self.next_row += 1
        return f"${cell.column_letter}${cell.row}"

    def heading(self) -> None:
        """The table's heading, which stays in sight and is repeated on each printed page."""
        row = self.next_row
        for number, column in enumerate(self.columns, 1):
            left = style.INDENTED_HEADING if number > 1 else style.LEFT_HEADING
            alignment = style.RIGHT_HEADING if column.kind == "number" else left
            self._put(row, number, column.heading, style.HEADING, alignment, style.UNDER)
        self.worksheet.freeze_panes = f"A{row + 1}"
        self.worksheet.print_title_rows = f"{row}:{row}"
        self._table[row] = [column.heading for column in self.columns]
        self.next_row += 1

    def row(self, contents: Sequence[Content], first_of_group: bool = False) -> None:
        """A row of the table, as many contents as columns; a hairline above the first of a group."""
        for number, (column, content) in enumerate(zip(self.columns, contents, strict=True), 1):
            font = style.CODE if column.kind == "code" else style.BODY
            alignment = style.RIGHT_TEXT if column.kind == "number" and _is_text(content) else None
            self._put(self.next_row, number, content, font, alignment, style.BETWEEN if first_of_group else None)
            width = min(ceil(_width(content, column)), column.widest)
            self._widths[number - 1] = max(self._widths[number - 1], width)
        self._table[self.next_row] = contents
        self.next_row += 1

    def sentence(self, first: str, text: str) -> None:
        """A row with a long text over all columns but the first."""
        self._put(self.next_row, 1, first, style.CODE)
        self._across(2, text, style.BODY)

    def paragraph(self, text: str, font: Font = style.BODY) -> None:
        """A row with a long text over all columns."""
        self._across(1, text, font)

    def group(self, text: str) -> None:
        """A heading between groups of rows."""
        self.next_row += 1
        self._put(self.next_row, 1, text, style.STRONG, style.UNBROKEN)
        self.next_row += 1

    def total(
        self, label: str, column: int, content: Content, first: bool = False, unit: str = "", font: Font = style.STRONG
    ) -> str:
        """A sum below its column, with its label before it and its unit after it; returns its address."""
        self._put(self.next_row, column - 1, label, style.LABEL, style.RIGHT_TEXT)
        cell = self._put(self.next_row, column, content, font)
        if unit:
            self._put(self.next_row, column + 1, unit)
        if first:
            for number in range(1, len(self.columns) + 1):
                self.worksheet.cell(self.next_row, number).border = style.OVER
        width = ceil(_width(content, self.columns[column - 1])) + 1
        self._widths[column - 1] = max(self._widths[column - 1], width)
        self.next_row += 1
        return f"{cell.column_letter}{cell.row}"

    def link(self, row: int, column: int, name: str) -> None:
        """Makes a cell lead to the sheet of that name."""
        cell = cast(Cell, self.worksheet.cell(row, column))
        cell.hyperlink = Hyperlink(cell.coordinate, location=f"{quoted(name)}A1", tooltip=f"Go to the sheet {name}")
        cell.font = style.LINK

    def call(self, name: str, cells: str) -> None:
        """Gives cells of this sheet a name, by which they are found and read aloud; "F9:F12"."""
        place = quoted(self.worksheet.title) + absolute_coordinate(cells)
        self.worksheet.defined_names[name] = DefinedName(name, attr_text=place)

    def finish(self, title: str, mark: str) -> None:
        """Column widths fitted to the table, the print set-up, and everything locked but the entries."""
        sheet = self.worksheet
        for number, width in enumerate(self._widths, 1):
            sheet.column_dimensions[get_column_letter(number)].width = width + _PADDING
        for row, contents in self._table.items():
            self._set_height(row, max(map(_broken, contents, self._widths, self.columns)))
        for row, label in self._labels.items():
            if (lines := lines_of(label, self._widths[0])) > 1:
                self._set_height(row, lines)
        for row, (first, text) in self._sentences.items():
            room = sum(self._widths[first - 1 :]) + _PADDING * (len(self._widths) - first)
            self._set_height(row, lines_of(text, room))
        validate(sheet, self._entries)
        lock(sheet)
        set_up_print(sheet, title, mark)

    def _across(self, first: int, text: str, font: Font) -> None:
        self._put(self.next_row, first, text, font)
        last = len(self.columns)
        # what there is to merge is empty: the library's own call makes each cell, and weighs the range with all before
        self.worksheet.merged_cells.ranges.add(CellRange(None, first, self.next_row, last, self.next_row))
        self._sentences[self.next_row] = (first, text)
        self.next_row += 1

    def _set_height(self, row: int, lines: int) -> None:
        self.worksheet.row_dimensions[row].height = lines * style.LINE_HEIGHT + _ROOM_BETWEEN

    def _put(
        self,
        row: int,
        column: int,
        content: Content,
        font: Font = style.BODY,
        alignment: Alignment | None = None,
        border: Border | None = None,
    ) -> Cell:
        """One cell. Text stays text, whatever it begins with."""
        cell = cast(Cell, self.worksheet.cell(row, column))
        left = style.INDENTED if column > 1 else style.LEFT
        entry = content.entry if isinstance(content, (Number, TextEntry)) else None
        if entry:
            self._entries.setdefault(entry, []).append(cell.coordinate)
        form = style.AS_TEXT if entry and entry.least is None else ""
        if isinstance(content, (Number, Formula)):
            form = form or content.form or style.digits(content.places)
        alignment = alignment or (left if _is_text(content) else style.RIGHT)
        self._dress(cell, style.Look(font, alignment, border, form, entry is not None))
        if isinstance(content, Formula):
            cell.value = content.text
            self.formula_values[cell.coordinate] = content.value
        elif isinstance(content, Number):
            cell.value = content.value
        elif said := shown(content):
            cell.value = printable(said)
            cell.data_type = "s"
            if looks_like_formula(said):
                cell.quotePrefix = True
        return cell

    def _dress(self, cell: Cell, look: style.Look) -> None:
        """Gives a cell its look. One that was given before is copied: the library would weigh all its parts anew."""
        if look.key not in self._looks:
            look.give(cell)
            self._looks[look.key] = copy(cell._style)  # type: ignore[attr-defined]
        cell._style = copy(self._looks[look.key])  # type: ignore[attr-defined]


def _is_text(content: Content) -> bool:
    return isinstance(content, (str, TextEntry)) or isinstance(content.value, str)


def _width(content: Content, column: style.Column) -> float:
    """The width of the longest line that the content shows."""
    return max((width_of(line, column.kind) for line in shown(content).splitlines()), default=0)


def _broken(content: Content, width: int, column: style.Column) -> int:
    """Into how many lines the content is broken in a column of this width."""
    if isinstance(content, (Number, Formula)):
        return 1
    return lines_of(shown(content), width + _ROOM_IN_PADDING, column.kind)
