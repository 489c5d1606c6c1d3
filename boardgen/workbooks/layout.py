"""How wide the columns of a sheet are and how high its rows, so that every text is seen whole.

The unit of widths is that of a spreadsheet's columns: the width of a digit in body text. Letters are as wide as those
of a common sans serif face beside its digits, rounded up; recalled, not measured.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from math import ceil

from boardgen.workbooks.cells import Content, Formula, Number, shown
from boardgen.workbooks.sheet import Column, Heading, Kind, Line, Paragraph, Row, Setting, Sheet, Total, numbered
from boardgen.workbooks.style import SIZES

PADDING = 3
"""What a column is wider than its widest text."""
_ROOM_IN_PADDING = 0.5
"""What a left indent and the edges of a cell leave of the padding."""
_LINE_HEIGHT = 12.5
"""Points for a line of body text."""
_ROOM_BETWEEN = 4
_HEIGHT_OF_SIZE = 1.4
"""The height of a row beside the size of its letters."""
_CODE_LETTER = 1.1
_WIDTHS = (
    ("ijl'|", 0.42),
    ("ft.,:;!/\\[]I ", 0.52),
    ('r()-`{}"', 0.64),
    ("ckszvxyJ", 0.92),
    ("ABEKPSVXYFTZ&", 1.22),
    ("CDGHNRUw", 1.32),
    ("OQ", 1.42),
    ("mM", 1.52),
    ("W%@", 1.85),
)
_OTHER_ASCII, _OTHER = 1.02, 1.5
_OF_LETTER = {chr(code): _OTHER_ASCII for code in range(128)} | {
    letter: width for letters, width in _WIDTHS for letter in letters
}


def column_widths(sheet: Sheet) -> list[int]:
    """The width of the widest text of each column, or the width at which its text is broken, without the padding."""
    widths = [max(column.narrowest, _text_width(column.heading, column)) for column in sheet.columns]
    numbers = {column.name: number for number, column in enumerate(sheet.columns)}
    for block in sheet.blocks:
        if isinstance(block, Row):
            for number, (column, content) in enumerate(zip(sheet.columns, block.contents, strict=True)):
                widths[number] = max(widths[number], min(_text_width(shown(content), column), column.widest))
        elif isinstance(block, Total):
            number = numbers[block.column]
            widths[number] = max(widths[number], _text_width(shown(block.content), sheet.columns[number]) + 1)
    return widths


def row_heights(sheet: Sheet, widths: list[int]) -> dict[int, float]:
    """The height in points of each row that is not as high as a plain one, by its number from 1."""
    heights = {}
    for row, block in numbered(sheet):
        match block:
            case Line():
                heights[row] = SIZES[block.font] * _HEIGHT_OF_SIZE
            case Heading():
                headings = tuple(column.heading for column in sheet.columns)
                heights[row] = _of_lines(_most_lines(headings, widths, sheet))
            case Row():
                heights[row] = _of_lines(_most_lines(block.contents, widths, sheet))
            case Setting():
                lines = lines_of(block.label, widths[0])
                if lines > 1:
                    heights[row] = _of_lines(lines)
            case Paragraph():
                first = 1 if block.mark else 0
                room = sum(widths[first:]) + PADDING * (len(widths) - 1 - first)
                heights[row] = _of_lines(lines_of(block.text, room))
    return heights


def _text_width(text: str, column: Column[object]) -> int:
    """The width of the longest line of the text."""
    return ceil(max((width_of(line, column.kind) for line in text.splitlines()), default=0))


def _of_lines(count: int) -> float:
    return count * _LINE_HEIGHT + _ROOM_BETWEEN


def _most_lines(contents: tuple[Content, ...], widths: list[int], sheet: Sheet) -> int:
    return max(map(_lines, contents, widths, sheet.columns))


def _lines(content: Content, width: int, column: Column[object]) -> int:
    """Into how many lines the content is broken in a column of this width; a number never is."""
    if isinstance(content, (Number, Formula)):
        return 1
    return lines_of(shown(content), width + _ROOM_IN_PADDING, column.kind)


def width_of(text: str, kind: Kind = "text") -> float:
    """The width of one line of text; code is set in a face of one width."""
    if kind == "code":
        return _CODE_LETTER * len(text)
    return sum(_OF_LETTER.get(letter, _OTHER) for letter in text)


def lines_of(text: str, room: float, kind: Kind = "text") -> int:
    """Into how many lines the text is broken in so much room."""
    return sum(_broken(line, room, kind) for line in text.splitlines()) or 1


def _broken(line: str, room: float, kind: Kind) -> int:
    if width_of(line, kind) <= room:
        return 1
    count, used = 1, 0.0
    for gap, width in _pieces(line, room, kind):
        if used and used + gap + width > room:
            count += 1
            used = width
        else:
            used += width + (gap if used else 0)
    return count


def _pieces(line: str, room: float, kind: Kind) -> Iterator[tuple[float, float]]:
    """What a line can be broken into: words, at their hyphens too; each with the gap before it."""
    space = width_of(" ", kind)
    for word in line.split():
        for number, piece in enumerate(re.findall("[^-]*-|[^-]+", word)):
            width = width_of(piece, kind)
            while width > room:
                yield 0, room
                width -= room
            yield (0 if number else space), width
