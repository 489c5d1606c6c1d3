"""A sheet of a workbook as data: its columns, what stands from top to bottom, and the addresses of its cells.

A column says once what it is called, how wide it may be and what its cells hold for an item; `table` makes the rows.
Formulas name the cells they need in braces, and the writer puts the addresses in:

- `{quantity}` in a row is the cell of that column in the same row,
- `{boards}` a setting or a total of the same sheet,
- `{line3[quantity]}` the cell of a column in a named row,
- `{column[quantity]}` all cells of the column, from the first row of the table to the last before a gap or a heading,
- `{Order[boards]}` any of these on the sheet whose key is "Order".
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, Generic, Literal, TypeAlias, TypeVar

from msgspec import Struct

from boardgen.workbooks.cells import Content, TextEntry

Kind = Literal["text", "code", "number"]
Font = Literal["title", "body", "soft", "strong", "code", "label", "link", "heading"]
Item = TypeVar("Item")
Addresses: TypeAlias = dict[str, "str | dict[str, str]"]


class Column(Struct, Generic[Item], frozen=True):
    """A column of a table.

    `cell` gives the content for an item and its number from 1; `widest` is the width, in digits of body text, at which
    its text is broken, `room` what is left for what will be entered.
    """

    name: str
    heading: str
    cell: Callable[[int, Item], Content]
    kind: Kind = "text"
    widest: int = 30
    room: int = 0

    @property
    def narrowest(self) -> int:
        """The least width."""
        return max(self.room, 7 if self.kind == "number" else 5)


class Line(Struct, frozen=True):
    """A line of text across the sheet."""

    text: str
    font: Font = "body"


class Gap(Struct, frozen=True):
    """A blank row."""


class Setting(Struct, frozen=True):
    """A labelled value above the table, in the second column."""

    name: str
    label: str
    content: Content


class Heading(Struct, frozen=True):
    """The headings of the columns, which stay in sight and are repeated on each printed page."""


class Row(Struct, frozen=True):
    """A row of the table, as many contents as columns; a hairline above the first of a group."""

    contents: tuple[Content, ...]
    name: str = ""
    first_of_group: bool = False


class Group(Struct, frozen=True):
    """A blank row and a heading between groups of rows."""

    text: str


class Total(Struct, frozen=True):
    """A sum below its column, its label before it and its unit after it; a rule above it where it is the first."""

    name: str
    label: str
    column: str
    content: Content
    first: bool = False
    unit: str = ""
    font: Font = "strong"


class Paragraph(Struct, frozen=True):
    """A long text over all columns; with `mark`, over all but the first, which holds that."""

    text: str
    mark: TextEntry | None = None


Block: TypeAlias = Line | Gap | Setting | Heading | Row | Group | Total | Paragraph


class Sheet(Struct, frozen=True):
    """One sheet: `key` is its name in formulas, `title` the one on its tab.

    `called` are the names under which a spreadsheet finds cells of the sheet, each with the cells as a formula names
    them: {"Unit_price": "{column[unit_price]}"}. The rows of a `sortable` sheet may be sorted while it is locked.
    """

    key: str
    title: str
    columns: Sequence[Column[Any]]
    blocks: Sequence[Block]
    called: Mapping[str, str] = {}
    sortable: bool = False


class Book(Struct, frozen=True):
    """A workbook. `title` and `subject` say what it is; `head` and `mark` stand at the head of each printed page.

    `paper` is "A4" or "Letter".
    """

    title: str
    subject: str
    head: str
    mark: str
    paper: str
    sheets: Sequence[Sheet]


def row_of(columns: Sequence[Column[Item]], item: Item, n: int = 1, name: str = "", *, first: bool = False) -> Row:
    """The row of one item, which is the n-th; `first` of a group."""
    return Row(tuple(column.cell(n, item) for column in columns), name, first)


def table(columns: Sequence[Column[Item]], items: Sequence[Item], name: str = "line") -> list[Row]:
    """A row for each item, named "line1", "line2" and so on; with "", rows that no formula names."""
    return [row_of(columns, item, n, f"{name}{n}" if name else "") for n, item in enumerate(items, 1)]


def or_gap(rows: Sequence[Row]) -> Sequence[Row | Gap]:
    """The rows, or a blank row for totals to stand below where there is none."""
    return rows or (Gap(),)


def letter(number: int) -> str:
    """The letters of a column, counted from 1: A, Z, AA."""
    high, low = divmod(number - 1, 26)
    return (letter(high) if high else "") + chr(ord("A") + low)


def numbered(sheet: Sheet) -> Iterator[tuple[int, Block]]:
    """Each block with its row, counted from 1; of a group the row of its heading."""
    row = 0
    for block in sheet.blocks:
        row += 2 if isinstance(block, Group) else 1
        yield row, block


def quoted(title: str) -> str:
    """A sheet as formulas refer to its cells, with the exclamation mark."""
    return f"{title}!" if title.isascii() and title.isalpha() else f"'{title}'!"


def addresses(sheet: Sheet, prefix: str = "") -> Addresses:
    """The cells of a sheet by name, each address with the prefix before it. Raises ValueError for a name used twice."""
    letters = _letters(sheet)
    named: list[tuple[str, str | dict[str, str]]] = []
    top = end = 0
    for row, block in numbered(sheet):
        match block:
            case Heading():
                top, end = row + 1, row
            case Setting():
                named.append((block.name, f"{prefix}$B${row}"))
            case Total():
                named.append((block.name, f"{prefix}{letters[block.column]}{row}"))
            case Row():
                end += row == end + 1
                if block.name:
                    named.append((block.name, row_addresses(sheet, row, prefix)))
    # rows that are sorted take with them where a formula looks on its own sheet, not on another
    fixed = "$" if prefix else ""
    named.append(
        (
            "column",
            {
                name: f"{prefix}{fixed}{at}{fixed}{top}:{fixed}{at}{fixed}{max(top, end)}"
                for name, at in letters.items()
            },
        )
    )
    found = dict(named)
    if len(found) < len(named):
        raise ValueError("a name for two places of a sheet", [name for name, _ in named])
    return found


def row_addresses(sheet: Sheet, row: int, prefix: str = "") -> dict[str, str]:
    """The cells of one row by the names of their columns."""
    return {name: f"{prefix}{at}{row}" for name, at in _letters(sheet).items()}


def _letters(sheet: Sheet) -> dict[str, str]:
    return {column.name: letter(number) for number, column in enumerate(sheet.columns, 1)}
