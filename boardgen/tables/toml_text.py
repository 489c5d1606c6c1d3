"""Reads a text in TOML, also one that was made to do harm: what is wrong becomes a fault with its line."""

from __future__ import annotations

import re
import tomllib

Document = dict[str, object]
_MOST_DOTS = 200
_LINE = re.compile(r"\(at line ([0-9]+)")


class TomlError(ValueError):
    """The text is not TOML: why, and the line where that is known."""

    def __init__(self, found: str, line: int | None = None) -> None:
        self.found = found
        self.line = line
        super().__init__(found)


def read_toml(text: str) -> Document:
    """The text as plain data; a mark of byte order before it is passed over. Raises TomlError."""
    text = text.removeprefix("\ufeff")
    _refuse_many_dots(text)
    try:
        return tomllib.loads(text)
    except RecursionError as error:
        found = "the lists or tables are nested too deeply"
        raise TomlError(found, _deepest_line(text)) from error
    except ValueError as error:
        message = str(error)
        line = _LINE.search(message)
        number = int(line[1]) if line else text.count("\n") + 1 if "end of document" in message else None
        raise TomlError(_fault(message), number) from error


def _refuse_many_dots(text: str) -> None:
    # the time to read a dotted key grows with the square of its parts
    for number, line in enumerate(text.split("\n"), 1):
        if line.count(".") > _MOST_DOTS and not line.startswith("#"):
            found = "this line holds too many dots"
            raise TomlError(found, number)


def _deepest_line(text: str) -> int:
    """The line by which most brackets are open; those in texts count too, which are few."""
    depth, deepest, found = 0, 0, 1
    for number, line in enumerate(text.split("\n"), 1):
        for letter in line:
            depth += (letter in "[{") - (letter in "]}")
            if depth > deepest:
                deepest, found = depth, number
    return found


def _fault(message: str) -> str:
    if "integer string conversion" in message:
        return "a number has too many digits"
    if re.search("overwrite|twice|immutable|redefine|duplicate", message, re.IGNORECASE):
        return "a key or table is given twice"
    return "this is not TOML: " + re.sub(r" \(at .*", "", message, flags=re.DOTALL)
