"""Names from the user: what a label or a title may be, and the ASCII or folder name made of it."""

from __future__ import annotations

import re
import unicodedata

from boardgen.spec.quantity import refusal
from boardgen.tables.fault import FieldError

LONGEST_LABEL = 60
LONGEST_TITLE = 80
_LONGEST_FOLDER_BYTES = 200

RESERVED = frozenset({"output", "bus", "0v", "earth", "coil supply", "select", "feed", "centre", "braid"})
"""Names that stand for something else on the board, in small letters."""

_LETTERS = str.maketrans(
    {
        "ø": "o", "Ø": "O", "ß": "ss", "ẞ": "SS", "æ": "ae", "Æ": "AE", "œ": "oe", "Œ": "OE", "þ": "th", "Þ": "Th",
        "ð": "d", "Ð": "D", "đ": "d", "Đ": "D", "ł": "l", "Ł": "L", "ħ": "h", "Ħ": "H", "ı": "i", "ŋ": "ng", "Ŋ": "Ng",
        "ŧ": "t", "Ŧ": "T", "ĸ": "k", "–": "-", "—": "-", "−": "-", "×": "x",
    }
)  # fmt: skip
_REVISION = re.compile(r"[A-Za-z0-9][A-Za-z0-9. -]{0,19}")
_UNSAFE = re.compile(r"""[^\x20-\x7e]|["'`\\/:*?<>|]""")
_PATH_START = re.compile(r"[/~\\]|[A-Za-z]:[\\/]")
_DEVICE = re.compile(r"(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³]|conin\$|conout\$) *(\..*)?", re.IGNORECASE)


def read_label(text: object) -> str:
    """The label, trimmed. Raises FieldError where it is empty, too long, unprintable, a path, or reserved."""
    label = _plain(text, LONGEST_LABEL)
    name = ascii_name(label, 0).casefold()
    # "select north" as a label would have a net "select north centre", and so would the select of "north centre"
    if name in RESERVED or name.startswith(("select ", "feed ")):
        raise refusal(label, "stands for another part of the board", "choose another name")
    return label


def ascii_name(label: str, number: int) -> str:
    """The label in ASCII for nets and files, its words one space apart: "Süd/Öst" gives "Sud Ost".

    Where no letter or digit is left it is "antenna 3", with the antenna's number.
    """
    folded = unicodedata.normalize("NFKD", label.translate(_LETTERS))
    bare = "".join(c for c in folded if not unicodedata.combining(c))
    name = " ".join(_UNSAFE.sub(" ", bare).split()).strip(". ")
    if not any(c.isalnum() for c in name):
        return f"antenna {number}"
    return f"antenna {name}" if _DEVICE.fullmatch(name) else name


def read_title(text: object) -> str:
    """The title, trimmed. Raises FieldError where it could not name a folder on every system."""
    title = _plain(text, LONGEST_TITLE)
    if "/" in title or "\\" in title:
        raise refusal(title, "holds a slash", "the title names the output folder: leave slashes out")
    folder = folder_name(title)
    if not folder:
        raise refusal(title, "leaves no name for the output folder", "use letters or digits")
    if _DEVICE.fullmatch(folder):
        raise refusal(title, "is the name of a device on some systems", "choose another title")
    if len(folder.encode("utf-8", "replace")) > _LONGEST_FOLDER_BYTES:
        raise refusal(title, "is too long for a folder", f"use at most {_LONGEST_FOLDER_BYTES} bytes")
    return title


def folder_name(title: str) -> str:
    """The name of the output folder for a title: composed letters, nothing that a file system refuses."""
    safe = re.sub(r'[<>:"|?*/\\]', " ", unicodedata.normalize("NFC", title))
    return " ".join(safe.split()).strip(". ")


def read_revision(text: object) -> str:
    """The revision, trimmed. Raises FieldError where it is not 1 to 20 letters, digits, dots, dashes, spaces."""
    if not isinstance(text, str) or not _REVISION.fullmatch(text.strip(" ")):
        raise refusal(text, "is no revision", "write 1 to 20 letters, digits, dots, dashes or spaces")
    return text.strip(" ")


def read_currency(text: object) -> str:
    """The code of a currency. Raises FieldError where it is not three capital letters."""
    if not isinstance(text, str) or not re.fullmatch(r"[A-Z]{3}", text):
        raise refusal(text, "is no code of a currency", 'write three capitals, such as "CAD"')
    return text


def read_plain(text: object) -> str:
    """A catalogue key or a path of 1 to 200 printable characters, trimmed. Raises FieldError."""
    return _printable(text, 200)


def _plain(text: object, longest: int) -> str:
    trimmed = _printable(text, longest)
    if ".." in trimmed or _PATH_START.match(trimmed):
        raise refusal(trimmed, "looks like a path", "write a plain name")
    return trimmed


def _printable(text: object, longest: int) -> str:
    wanted = f"write 1 to {longest} printable characters"
    if not isinstance(text, str):
        raise refusal(text, "is not a text", wanted)
    trimmed = text.strip(" ")
    if not trimmed:
        raise FieldError("the text is empty", wanted)
    if len(trimmed) > longest:
        raise refusal(trimmed, f"has {len(trimmed)} characters", wanted)
    for c in trimmed:
        if not c.isprintable():
            named = unicodedata.name(c, "a character without a name").lower()
            raise refusal(trimmed, f"holds U+{ord(c):04X} ({named})", wanted)
    return trimmed
