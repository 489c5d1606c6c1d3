"""How a value from the user is quoted in a message."""

from __future__ import annotations

import re
from datetime import date, time

_LONGEST = 60
CONTROL = re.compile(
    "[\x00-\x1f\x7f-\x9f\xad\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb"
    "\ud800-\udfff\U000e0000-\U000e007f]"
)
"""What steers a terminal, turns the direction of writing, or cannot be seen; joiners within words are letters."""


def printable(text: str) -> str:
    """The text in one line, with what steers a terminal written as its number."""
    return CONTROL.sub(lambda found: f"\\u{ord(found[0]):04x}", text)


def shown(value: object) -> str:
    """The value as it may be printed: quoted, cut short, with unprintable characters escaped."""
    if isinstance(value, str):
        cut = value if len(value) <= _LONGEST else value[: _LONGEST - 3] + "..."
        return '"' + "".join(c if c.isprintable() else f"\\u{ord(c):04x}" for c in cut) + '"'
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value) if value.bit_length() <= 64 else "a huge number"
    if isinstance(value, float):
        return repr(value)
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list | tuple):
        return "a list"
    return "a date or time" if isinstance(value, date | time) else f"a {type(value).__name__}"
