"""What a page is made of: sections of plain blocks. A page knows nothing of boards.

Words are plain text; `markupsafe.Markup` is taken as it is and nothing else is. Numbers are written with a point and
trade spellings ("1.8 MHz", "75 ohm", "+-5 %"): the page sets them as its reader wants them.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from msgspec import Struct

ColumnKind = Literal["text", "code", "number", "tick"]
"""text is set; code is kept letter for letter; number is set to the right; tick is a box, its cell the box's name."""
Heading = Literal["danger", "caution", "note"]


class Column(Struct, frozen=True):
    """One column of a table. `narrow` keeps its words on one line."""

    heading: str
    kind: ColumnKind = "text"
    narrow: bool = False


class Words(Struct, frozen=True):
    """A paragraph."""

    words: str


class Table(Struct, frozen=True):
    """A table with a caption; the first column that is no tick heads its row. An empty cell is "".

    On a phone a `stacked` one puts the cells of a row below one another, any other is scrolled sideways.
    """

    caption: str
    columns: tuple[Column, ...]
    rows: Sequence[tuple[str, ...]]
    stacked: bool = False

    @property
    def head(self) -> int:
        """The number of the column that heads each row."""
        return next((n for n, column in enumerate(self.columns) if column.kind != "tick"), 0)


class Picture(Struct, frozen=True):
    """A drawing as SVG, and what it shows for those who cannot see it. `wide` ones keep their size on a phone.

    `low` ones take no more than a part of the sheet, so that what belongs to them stands beside them. A `sheet` has
    small letters and is larger than the screen's column.
    """

    svg: str
    shows: str
    caption: str
    wide: bool = False
    low: bool = False
    sheet: bool = False


class Items(Struct, frozen=True):
    """A list; `numbered` where the order matters."""

    items: tuple[str, ...]
    numbered: bool = False


class Ticks(Struct, frozen=True):
    """Things to do or to check, each with a box; short ones may stand `across` the page."""

    items: tuple[str, ...]
    across: bool = False


class Terms(Struct, frozen=True):
    """Names with what stands for each."""

    pairs: tuple[tuple[str, str], ...]


class Caution(Struct, frozen=True):
    """What can hurt a person, spoil the work, or should be known."""

    heading: Heading
    items: tuple[str, ...]


class Group(Struct, frozen=True):
    """Blocks under a heading of their own."""

    title: str
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
