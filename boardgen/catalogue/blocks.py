"""Data files cut into blocks: one part, family or footprint each, in the order of the file."""

from __future__ import annotations

import re
from collections.abc import Collection
from pathlib import Path

import tomli
from msgspec import Struct

from boardgen.catalogue.faults import Faults
from boardgen.model.problem import Place

Table = dict[str, object]
SORTS = ("part", "family", "footprint")
_HEADER = re.compile(r"^[ \t]*\[\[[ \t]*(part|family|footprint)[ \t]*\]\]", re.MULTILINE)
_TOML_LINE = re.compile(r"at line (\d+)")


class Block(Struct, frozen=True):
    """One table of a file, with the text it was read from for line numbers."""

    sort: str
    table: Table
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


def read_blocks(folder: Path, faults: Faults, left_out: Collection[str] = ()) -> list[Block]:
    """The blocks of every *.toml file of the folder, files by name; what cannot be read becomes a fault.

    `left_out` are names of files that are not read.
    """
    paths = [path for path in sorted(folder.glob("*.toml")) if path.name not in left_out]
    return [block for path in paths for block in _of_file(path, faults)]


def _of_file(path: Path, faults: Faults) -> list[Block]:
    file = path.as_posix()
    if not path.is_file():
        faults.add("K001 unreadable file", Place(file), "this is not a regular file", "wanted is UTF-8 text")
        return []
    try:
        text = path.read_text(encoding="utf-8")
        document: Table = tomli.loads(text)
    except (OSError, UnicodeDecodeError) as error:
        faults.add("K001 unreadable file", Place(file), f"the file cannot be read: {error}", "wanted is UTF-8 text")
        return []
    except tomli.TOMLDecodeError as error:
        line = _TOML_LINE.search(str(error))
        place = Place(file, int(line[1]) if line else None)
        faults.add("K001 unreadable file", place, f"the file is not TOML: {error}")
        return []
    for name in document.keys() - set(SORTS):
        faults.unknown("K002 unknown key", Place(file, key=name), "the table", name, SORTS)
    lists = {sort: iter(_tables(document, sort, file, faults)) for sort in SORTS}
    # TOML keeps no order between lists of different names: the headers of the text give it back
    headers = [(match[1], match.start()) for match in _HEADER.finditer(text)]
    blocks = [Block(sort, table, file, text, at) for sort, at in headers if (table := next(lists[sort], None))]
    rest = [Block(sort, table, file, text, 0) for sort in SORTS for table in lists[sort]]
    return blocks + rest


def _tables(document: Table, sort: str, file: str, faults: Faults) -> list[Table]:
    value = document.get(sort, [])
    if isinstance(value, list) and all(isinstance(item, dict) for item in value):
        return value
    faults.add("K003 wrong type", Place(file, key=sort), f"{sort} is not a list of tables", f"write [[{sort}]]")
    return []
