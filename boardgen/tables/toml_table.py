"""Reads tables of TOML that are laid out by a Struct, and finds the line of each key again.

A key that is wrong becomes a fault and reads as its default, or as nothing, so that the rest can still be looked at.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping, Sequence
from functools import lru_cache
from typing import Any, Generic, Literal, TypeGuard, TypeVar, get_args, get_origin

from msgspec import Struct

from boardgen.model.problem import Place
from boardgen.tables.column import TableColumn, columns_of
from boardgen.tables.fault import Faults
from boardgen.tables.shown import shown
from boardgen.tables.toml_text import Document, TomlError, read_toml

UNREADABLE, UNKNOWN, WRONG_TYPE, ABSENT, NO_CHOICE = (
    "K001 unreadable file",
    "K002 unknown key",
    "K003 wrong type",
    "K004 absent key",
    "K005 not a choice",
)
_HEADER = re.compile(r"^[ \t]*\[\[[ \t]*([A-Za-z_-]+)[ \t]*\]\]", re.MULTILINE)
_MOST = 10_000
"""Numbers are below this: no part of a board is larger, in millimetres."""
_Layout = TypeVar("_Layout", bound=Struct)


class Block(Struct, frozen=True):
    """One [[...]] of a file, of that `sort`, with the text it was read from for line numbers."""

    sort: str
    table: Document
    file: str
    text: str
    start: int

    @property
    def name(self) -> str:
        """The key of the block, or what there is to tell it by."""
        return str(self.table.get("key") or self.table.get("key_pattern") or f"[[{self.sort}]]")

    def place(self, *words: str, name: str = "") -> Place:
        """The line of the last of these words that is found, each looked for behind the one before."""
        at = self.start
        next_header = _HEADER.search(self.text, self.start + 1)
        end = next_header.start() if next_header else len(self.text)
        for word in words:
            found = self.text.find(word, at, end)
            at = at if found < 0 else found
        key = ".".join([name or self.name, *words])
        return Place(self.file, self.text.count("\n", 0, at) + 1, key)


def read_blocks(text: str, file: str, sorts: Sequence[str], faults: Faults) -> list[Block]:
    """The [[...]] of these sorts, in the order of the text; what cannot be read becomes a fault."""
    try:
        document = read_toml(text)
    except TomlError as error:
        faults.add(UNREADABLE, Place(file, error.line), error.found, "wanted is a file of parts in TOML")
        return []
    for name in document:
        if name not in sorts:
            place = _place_of(name, text, file)
            faults.unknown(UNKNOWN, place, "this file is read as one of parts; the table", name, sorts)
    lists = {}
    for sort in sorts:
        tables = document.get(sort, [])
        if not isinstance(tables, list) or not all(isinstance(item, dict) for item in tables):
            place = _place_of(sort, text, file)
            faults.add(WRONG_TYPE, place, f"{sort} is not a list of tables", f"write [[{sort}]]")
            tables = []
        lists[sort] = iter(tables)
    # TOML keeps no order between lists of different names: the headers of the text give it back
    headers = [(match[1], match.start()) for match in _HEADER.finditer(text) if match[1] in lists]
    blocks = [Block(sort, table, file, text, at) for sort, at in headers if (table := next(lists[sort], None))]
    rest = [Block(sort, table, file, text, 0) for sort in sorts for table in lists[sort]]
    return blocks + rest


def _place_of(name: str, text: str, file: str) -> Place:
    """The line where a table or a key above all tables begins."""
    at = re.search(rf"^[ \t]*\[*[ \t]*[\"']?{re.escape(name)}", text, re.MULTILINE)
    return Place(file, text.count("\n", 0, at.start()) + 1 if at else None, name)


class TomlTable(Generic[_Layout]):
    """The values of a table, and where its faults go.

    Parameters
    ----------
    block
        Where the table stands in its file.
    layout
        The Struct that says what the keys may hold.
    faults
        To which faults are added.
    table
        The table where it is not that of the block, but made from it.
    name
        What faults are reported by, where it is not that of the block.
    beside
        Keys that may stand there too, and are read by another layout.

    """

    def __init__(
        self,
        block: Block,
        layout: type[_Layout],
        faults: Faults,
        table: Document | None = None,
        name: str = "",
        beside: Collection[str] = (),
    ) -> None:
        self.block = block
        self.table = block.table if table is None else table
        self.name = name or block.name
        self.faults = faults
        columns = _sorted_columns(layout)
        names = {column.name for column, _ in columns}
        for key in self.table:
            if key not in names and key not in beside:
                allowed = [*(column.name for column, _ in columns), *beside]
                self.unknown(UNKNOWN, "the key", key, allowed, key)
        self.values = layout(**{column.field: self._value(column, sort) for column, sort in columns})

    def fault(self, identity: str, found: str, wanted: str, *words: str) -> None:
        """A fault at these words of the block."""
        self.faults.add(identity, self.block.place(*words, name=self.name), found, wanted)

    def unknown(self, identity: str, what: str, word: str, allowed: Collection[str], *words: str) -> None:
        """A word that is not one of the allowed."""
        self.faults.unknown(identity, self.block.place(*words, name=self.name), what, word, allowed)

    def _value(self, column: TableColumn, sort: str) -> Any:
        value = self.table.get(column.name)
        if value is None or value == "":
            if column.needed:
                example = f"a number, {column.allowed}" if sort == "number" else _EXAMPLES[sort]
                self.fault(ABSENT, f"{column.name} is absent", f"write {column.name} = {example}")
            return _instead(column, sort)
        found = _READERS[sort](value, column)
        if found is None:
            wanted = _WANTED[sort].format(key=column.name, column=column, counts=" or ".join(map(str, column.counts)))
            self.fault(WRONG_TYPE, f"{column.name} is {shown(value)}", wanted, column.name)
        elif sort == "choice" and found not in (choices := get_args(column.type)):
            self.unknown(NO_CHOICE, f"the {column.name}", found, choices, column.name)
        else:
            return found
        return _instead(column, sort)


def is_text(value: object) -> TypeGuard[str]:
    """Whether it is a text of one line."""
    return isinstance(value, str) and value.isprintable()


def is_number(value: object) -> TypeGuard[float]:
    """Whether it is a finite number of a size a board part can have."""
    return isinstance(value, int | float) and not isinstance(value, bool) and -_MOST < value < _MOST


@lru_cache
def _sorted_columns(layout: type[Struct]) -> tuple[tuple[TableColumn, str], ...]:
    """The columns of a layout, each with what is read for it."""
    return tuple((column, _sort(column)) for column in columns_of(layout))


def _sort(column: TableColumn) -> str:
    """What is read for a column of that type."""
    origin = get_origin(column.type)
    if origin is Literal:
        return "choice"
    if origin is dict:
        return "texts by name"
    if origin is tuple:
        return {str: "texts", float: "numbers"}.get(get_args(column.type)[0], "list")
    return "text" if column.type is str else "number"


def _instead(column: TableColumn, sort: str) -> Any:
    """What is taken where a value is absent or wrong; of a needed choice the last, which is the weakest."""
    if not column.needed:
        return column.default
    return get_args(column.type)[-1] if sort == "choice" else _NOTHING[sort]


def _text(value: object, column: TableColumn) -> str | None:
    return value if is_text(value) else None


def _texts(value: object, column: TableColumn) -> tuple[str, ...] | None:
    """A list of texts, or one text."""
    listed = value if isinstance(value, list) else [value]
    texts = tuple(item for item in listed if is_text(item))
    return texts if len(texts) == len(listed) else None


def _texts_by_name(value: object, column: TableColumn) -> dict[str, str] | None:
    """A table of texts; texts that are empty count as absent."""
    if isinstance(value, dict) and all(is_text(item) for item in (*value, *value.values())):
        return {name: item for name, item in value.items() if item}
    return None


def _number(value: object, column: TableColumn) -> float | None:
    return float(value) if is_number(value) and column.holds(value) else None


def _numbers(value: object, column: TableColumn) -> tuple[float, ...] | None:
    """A number, or a list of as many numbers as the column counts."""
    listed = value if isinstance(value, list) else [value]
    numbers = tuple(float(item) for item in listed if is_number(item) and column.holds(item))
    return numbers if len(numbers) == len(listed) and len(numbers) in column.counts else None


def _list(value: object, column: TableColumn) -> tuple[object, ...]:
    return tuple(value) if isinstance(value, list) else (value,)


_READERS: Mapping[str, Callable[[object, TableColumn], Any]] = {
    "choice": _text,
    "text": _text,
    "texts": _texts,
    "texts by name": _texts_by_name,
    "number": _number,
    "numbers": _numbers,
    "list": _list,
}
_WANTED = {
    "choice": "wanted is a text of one line in quotes",
    "text": "wanted is a text of one line in quotes",
    "texts": 'write {key} = ["..."]',
    "texts by name": 'write {key} = {{ name = "..." }}',
    "number": "wanted is {column.allowed}",
    "numbers": "wanted are {counts} numbers in {column.unit}",
}
_EXAMPLES = {
    "choice": '"..."',
    "text": '"..."',
    "texts": '["..."]',
    "texts by name": '{ name = "..." }',
    "numbers": "[...]",
    "list": "[...]",
}
_NOTHING: Mapping[str, Any] = {
    "text": "",
    "texts": (),
    "texts by name": {},
    "number": float("nan"),
    "numbers": (),
    "list": (),
}
