"""Writes a workbook by XlsxWriter: the same bytes for the same content, with the value of every formula beside it.

The format is Office Open XML (ECMA-376, part 1). Entries are open and checked, all else is locked without a password;
a sheet is printed as wide as the page, on A4 and on Letter.
"""

from __future__ import annotations

import io
import re
from datetime import datetime
from functools import cache
from typing import TYPE_CHECKING

from boardgen.formats.csv_text import looks_like_formula
from boardgen.workbooks import style
from boardgen.workbooks.cells import (
    Content,
    Entry,
    Formula,
    Link,
    Number,
    TextEntry,
    cell_text,
    is_text,
    number_format,
    printable,
    shown,
)
from boardgen.workbooks.layout import PADDING, column_widths, row_heights
from boardgen.workbooks.sheet import (
    Addresses,
    Block,
    Book,
    Font,
    Group,
    Heading,
    Line,
    Paragraph,
    Row,
    Setting,
    Sheet,
    Total,
    addresses,
    numbered,
    quoted,
    row_addresses,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from xlsxwriter import Workbook
    from xlsxwriter.format import Format
    from xlsxwriter.worksheet import Worksheet

_CREATED = datetime(1980, 1, 1)  # noqa: DTZ001 - a fixed stamp; the format has it without zone
_PAPERS = {"A4": 9, "Letter": 1}
"""By the numbers of ECMA-376, part 1, page set-up (recalled)."""
_DIGIT_PIXELS = 7
"""The width of a digit, in which the library counts the widths of columns."""
_PIXELS_A_POINT = 4 / 3
_MARGINS = {"left": 0.5, "right": 0.5, "top": 0.75, "bottom": 0.75}
"""Inches."""
_HEADER_MARGIN = {"margin": 0.5}
_LONGEST_IN_HEADER = 80
_LONGEST_WRITTEN_IN_HEADER = 120
"""Both texts of a page header together may take 255 letters, with a second & for each."""


def workbook_file(book: Book) -> bytes:
    """The workbook as a file."""
    from xlsxwriter import Workbook

    stream = io.BytesIO()
    with Workbook(stream, {"in_memory": True, "default_format_properties": style.BODY}) as workbook:
        workbook.set_properties(
            {
                "title": printable(book.title),
                "subject": printable(book.subject),
                "author": "boardgen",
                "created": _CREATED,
            }
        )
        workbook.set_custom_property("Language", "en")
        look = cache(lambda look: workbook.add_format(style.properties(look)))
        elsewhere = {sheet.key: addresses(sheet, quoted(sheet.title)) for sheet in book.sheets}
        for sheet in book.sheets:
            worksheet = workbook.add_worksheet(sheet.title)
            own = addresses(sheet)
            _SheetWriter(worksheet, sheet, {**elsewhere, **own}, look).write()
            _name_cells(workbook, sheet, own)
            _set_up_print(worksheet, book)
    return stream.getvalue()


def _name_cells(workbook: Workbook, sheet: Sheet, cells: Addresses) -> None:
    """Gives cells of the sheet the names by which they are found and read aloud."""
    for name, text in sheet.called.items():
        absolute = re.sub("([A-Z]+)([0-9]+)", r"$\1$\2", text.format_map(cells))
        workbook.define_name(f"{quoted(sheet.title)}{name}", f"={quoted(sheet.title)}{absolute}")


def _set_up_print(worksheet: Worksheet, book: Book) -> None:
    """Landscape, as wide as the page; title and mark at the head, sheet and page number at the foot."""
    worksheet.hide_gridlines(2)
    worksheet.set_landscape()
    worksheet.set_paper(_PAPERS[book.paper])
    worksheet.fit_to_pages(1, 0)
    worksheet.set_margins(**_MARGINS)
    worksheet.set_header(f"&L{_in_header(book.head)}&R{_in_header(book.mark)}", _HEADER_MARGIN)
    worksheet.set_footer("&L&A&Rpage &P of &N", _HEADER_MARGIN)


def _in_header(text: str) -> str:
    """The text for a page header, where & begins a code."""
    kept = printable(text)[:_LONGEST_IN_HEADER]
    while len(kept) + kept.count("&") > _LONGEST_WRITTEN_IN_HEADER:
        kept = kept[:-1]
    return kept.replace("&", "&&")


_LONGEST_LIST = 255
"""Letters of a list to choose from, with the commas between them, that a spreadsheet takes."""
_LONGEST_MESSAGE = 255


def _length(choices: Sequence[str]) -> int:
    return len(",".join(choices))


class _SheetWriter:
    """Runs over the blocks of a sheet. Rows are counted from 1 and columns from 0."""

    def __init__(
        self, worksheet: Worksheet, sheet: Sheet, cells: Mapping[str, object], look: Callable[[style.Look], Format]
    ) -> None:
        self.worksheet = worksheet
        self.sheet = sheet
        self.cells = cells
        self.look = look
        self.entries: dict[Entry, list[tuple[int, int]]] = {}
        self.typed: list[tuple[int, int]] = []

    def write(self) -> None:
        for row, block in numbered(self.sheet):
            self._block(row, block)
        widths = column_widths(self.sheet)
        for column, width in enumerate(widths):
            self.worksheet.set_column_pixels(column, column, (width + PADDING) * _DIGIT_PIXELS)
        for row, height in row_heights(self.sheet, widths).items():
            self.worksheet.set_row_pixels(row - 1, height * _PIXELS_A_POINT)
        for entry, places in self.entries.items():
            self._check(entry, places)
        self._refuse_typing()
        self._filter()
        free = ("objects", "scenarios", "format_columns", "format_rows", "autofilter", "sort")
        self.worksheet.protect(options=dict.fromkeys(free, True))

    def _refuse_typing(self) -> None:
        """Spreadsheets sort only what is not locked, so the rows that may be sorted refuse what is typed instead."""
        if self.typed:
            rule: dict[str, object] = {
                "validate": "custom",
                "value": "=FALSE",
                "error_title": "Not possible here",
                "error_message": "Only boxed cells are for entry.",
                "other_cells": [[*place, *place] for place in self.typed[1:]],
            }
            self.worksheet.data_validation(*self.typed[0], *self.typed[0], rule)

    def _filter(self) -> None:
        """Lets the rows that stand together under the heading be filtered, also while the sheet is locked."""
        blocks = dict(numbered(self.sheet))
        heading = next((row for row, block in blocks.items() if isinstance(block, Heading)), 0)
        last = heading
        while isinstance(blocks.get(last + 1), Row):
            last += 1
        if last > heading:
            self.worksheet.autofilter(heading - 1, 0, last - 1, len(self.sheet.columns) - 1)

    def _block(self, row: int, block: Block) -> None:
        match block:
            case Line(text, font):
                self._put(row, 0, text, font, "line")
            case Setting(_, label, content):
                self._put(row, 0, label)
                self._put(row, 1, content, align="line" if isinstance(content, str) else None)
            case Heading():
                self._heading(row)
            case Row():
                self._row(row, block)
            case Group(text):
                self._put(row, 0, text, "strong", "line")
            case Total():
                self._total(row, block)
            case Paragraph(text, mark):
                first = 1 if mark else 0
                if mark:
                    self._put(row, 0, mark, "code")
                self.worksheet.merge_range(row - 1, first, row - 1, len(self.sheet.columns) - 1, "")
                self._put(row, first, text)

    def _heading(self, row: int) -> None:
        for number, column in enumerate(self.sheet.columns):
            left: style.Align = "indented heading" if number else "left heading"
            align: style.Align = "right heading" if column.kind == "number" else left
            self._put(row, number, column.heading, "heading", align, "under")
        self.worksheet.freeze_panes(row, 0)
        self.worksheet.repeat_rows(row - 1)

    def _row(self, row: int, block: Row) -> None:
        cells = row_addresses(self.sheet, row)
        for number, (column, content) in enumerate(zip(self.sheet.columns, block.contents, strict=True)):
            font: Font = "code" if column.kind == "code" else "body"
            align: style.Align | None = "right text" if column.kind == "number" and is_text(content) else None
            border: style.Border = "between" if block.first_of_group else ""
            self._put(row, number, content, font, align, border, cells, locked=not self.sheet.sortable)

    def _total(self, row: int, total: Total) -> None:
        at = [column.name for column in self.sheet.columns].index(total.column)
        border: style.Border = "over" if total.first else ""
        if total.first:
            for number in range(len(self.sheet.columns)):
                self._put(row, number, "", align="", border=border)
        self._put(row, at - 1, total.label, "label", "right text", border)
        self._put(row, at, total.content, total.font, border=border)
        if total.unit:
            self._put(row, at + 1, total.unit, border=border)

    def _put(
        self,
        row: int,
        column: int,
        content: Content,
        font: Font = "body",
        align: style.Align | None = None,
        border: style.Border = "",
        row_cells: Mapping[str, str] | None = None,
        *,
        locked: bool = True,
    ) -> None:
        """One cell. Text stays text, whatever it begins with."""
        entry = content.entry if isinstance(content, (Number, TextEntry, Formula)) else None
        if entry:
            self.entries.setdefault(entry, []).append((row - 1, column))
        if align is None:
            align = ("indented" if column else "left") if is_text(content) else "right"
        text = cell_text(shown(content))
        form = style.AS_TEXT if entry and entry.least is None else ""
        if isinstance(content, (Number, Formula)):
            form = content.form or number_format(content.places)
        if isinstance(content, Link):
            font = "link"
        quote = is_text(content) and looks_like_formula(text)
        if not locked and not entry:
            self.typed.append((row - 1, column))
        look = self.look(style.Look(font, align, border, form, entry is not None, quote, locked))
        at = (row - 1, column)
        match content:
            case Formula():
                formula = content.text.format_map({**self.cells, **(row_cells or {})})
                self.worksheet.write_formula(*at, formula, look, "" if content.value is None else content.value)
            case Number(value=None):
                self.worksheet.write_blank(*at, None, look)
            case Number():
                self.worksheet.write_number(*at, content.value, look)
            case Link(sheet):
                self.worksheet.write_url(*at, f"internal:{quoted(sheet)}A1", look, sheet, f"Go to the sheet {sheet}")
            case _ if text:
                self.worksheet.write_string(*at, text, look)
            case _:
                self.worksheet.write_blank(*at, None, look)

    def _check(self, entry: Entry, places: list[tuple[int, int]]) -> None:
        """Refuses what an entry cannot be, and says beside the selected cell what it is."""
        if entry.choices and not any("," in text for text in entry.choices) and _length(entry.choices) <= _LONGEST_LIST:
            rule: dict[str, object] = {
                "validate": "list",
                "source": list(entry.choices),
                "error_message": f"One of {', '.join(entry.choices)}"[:_LONGEST_MESSAGE],
            }
        elif entry.least is None:
            rule = {
                "validate": "length",
                "criteria": "<=",
                "value": entry.longest,
                "ignore_blank": False,
                "error_message": f"Up to {entry.longest} letters and digits.",
            }
        else:
            whole = "whole " if entry.whole else ""
            rule = {
                "validate": "integer" if entry.whole else "decimal",
                "criteria": ">=",
                "value": f"{entry.least:f}",
                "error_message": f"A {whole}number, {entry.least:f} or more, without unit or formula.",
            }
        rule |= {"input_title": entry.name, "input_message": entry.hint, "error_title": "Not possible here"}
        rule["other_cells"] = [[*place, *place] for place in places[1:]]
        self.worksheet.data_validation(*places[0], *places[0], rule)
