"""What a page is made of: sections of plain blocks. A page knows nothing of boards.

Words are plain text; `markupsafe.Markup` is taken as it is and nothing else is. Numbers are written with a point and
trade spellings ("1.8 MHz", "75 ohm", "+-5 %"): the page sets them as its reader wants them.

A figure that is worked out is a `Value`, whose name stands in the page's data.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from msgspec import Struct

from boardgen.documents.text import Text, plain

ColumnKind = Literal["text", "code", "number", "tick", "reading"]
"""text is set; code is kept letter for letter; number is set to the right; tick is a box and reading a field to write
in, either named by its cell."""
Heading = Literal["danger", "caution", "note"]


class Boxes(Struct, frozen=True):
    """Several boxes in one cell, each beside its own designator; `done` says what a tick means, such as "soldered"."""

    names: tuple[str, ...]
    done: str


Cell = Text | Boxes


def spoken(cell: Cell) -> str:
    """The words alone, for those who cannot see them."""
    return ", ".join(cell.names) if isinstance(cell, Boxes) else plain(cell)


class Column(Struct, frozen=True):
    """One column of a table. `narrow` keeps its words on one line."""

    heading: Text
    kind: ColumnKind = "text"
    narrow: bool = False


class Words(Struct, frozen=True):
    """A paragraph."""

    words: Text


class Table(Struct, frozen=True):
    """A table with a caption; the first column that is no tick heads its row. An empty cell is "".

    On a phone the cells of a row stand below one another; a `compact` one stays a table, for it has room there.
    """

    caption: str
    columns: tuple[Column, ...]
    rows: Sequence[tuple[Cell, ...]]
    compact: bool = False

    @property
    def head(self) -> int:
        """The number of the column that heads each row."""
        return next((n for n, column in enumerate(self.columns) if column.kind != "tick"), 0)


class Picture(Struct, frozen=True):
    """A drawing as SVG, and what it shows for those who cannot see it.

    It is as wide as its page; `paper_mm`, where it is not 0, is how wide it is in print. A `sheet` has small letters
    and is larger than the screen's column.
    """

    svg: str
    shows: str
    caption: Text
    paper_mm: float = 0.0
    sheet: bool = False


class Items(Struct, frozen=True):
    """A list; `numbered` where the order matters."""

    items: tuple[Text, ...]
    numbered: bool = False


class Ticks(Struct, frozen=True):
    """Things to do or to check, each with a box; short ones may stand `across` the page."""

    items: tuple[Text, ...]
    across: bool = False


class Terms(Struct, frozen=True):
    """Names with what stands for each."""

    pairs: tuple[tuple[str, Text], ...]


class Caution(Struct, frozen=True):
    """What can hurt a person, spoil the work, or should be known."""

    heading: Heading
    items: tuple[Text, ...]


class Group(Struct, frozen=True):
    """Blocks under a heading of their own."""

    title: Text
    blocks: tuple[Block, ...]


Block = Words | Table | Picture | Items | Ticks | Terms | Caution | Group


class Section(Struct, frozen=True):
    """A part of the page with its address. `do` says what to do with it, before anything else.

    A `landscape` one is printed on landscape sheets of its own.
    """

    address: str
    title: str
    do: str
    blocks: tuple[Block, ...]
    landscape: bool = False


class Page(Struct, frozen=True):
    """A whole page. `foot` stands at its end and in the margin of every printed sheet."""

    title: str
    subtitle: str
    sections: tuple[Section, ...]
    foot: str
    own_words: tuple[str, ...] = ()
    """Texts of the user, which are never set in another spelling."""
    kept_as: str = ""
    """Under what the browser keeps the ticks and readings of the page; "" where it keeps none."""
