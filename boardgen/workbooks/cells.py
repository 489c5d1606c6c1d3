"""What stands in a cell of a workbook: text, a number, a formula with its value, an entry, a link to a sheet."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import TypeAlias

from msgspec import Struct

from boardgen.purchasing.money import decimal_places

PAD = "_0_."
"""Ends a number format: the room that an indent would leave, which not every program grants to numbers."""


class Entry(Struct, frozen=True):
    """What may be typed into a cell: a number from `least` on, or, with None, a text of at most `longest` letters.

    With `choices`, one of these. `name` and `hint` are shown, and read aloud, when the cell is selected.
    """

    name: str
    hint: str
    least: Decimal | None = Decimal(0)
    whole: bool = False
    longest: int = 60
    choices: tuple[str, ...] = ()


class Number(Struct, frozen=True):
    """A number with its decimals, or in the number format `form`; None is a blank. An `entry` may be changed."""

    value: Decimal | float | None
    places: int = 0
    entry: Entry | None = None
    form: str = ""


class TextEntry(Struct, frozen=True):
    """A text that may be changed by hand."""

    text: str
    entry: Entry


class Formula(Struct, frozen=True):
    """A formula of ours, never of the user's text, with its value for viewers that do not calculate; None is "".

    `text` names cells in braces, as boardgen.workbooks.sheet has them: "={quantity}*{unit_price}". An `entry` may be
    written over.
    """

    text: str
    value: Decimal | str | None
    places: int = 0
    form: str = ""
    entry: Entry | None = None


class Link(Struct, frozen=True):
    """The name of a sheet, which the cell leads to."""

    sheet: str


Content: TypeAlias = str | Number | TextEntry | Formula | Link


LONGEST = 32_767
"""The most letters that a spreadsheet takes in a cell."""
_UNPRINTABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")


def printable(text: str) -> str:
    """The text with a replacement mark for each character that XML cannot hold."""
    return _UNPRINTABLE.sub("\ufffd", text)


def cell_text(text: str) -> str:
    """The text as a cell holds it: without what XML cannot hold, every end of a line a line feed, cut to length."""
    return printable(text).replace("\r\n", "\n").replace("\r", "\n")[:LONGEST]


def half_up(amount: str, currency: str) -> str:
    """The formula that rounds an amount half up to what the currency can be paid in, as `money.rounded` does.

    A product of binary fractions may come out below the half that it stands for (137.7 x 1795 is below 247171.5), so
    a little is put on top: less than any other amount could fall short by, at up to eight decimals of a price and a
    million of the currency in one line.
    """
    places = decimal_places(currency)
    return f"ROUND({amount}+5E-{places + 8},{places})"


def number_format(places: int, more: int = 0) -> str:
    """The number format with so many decimals, room for some `more`, and a mark between thousands."""
    return "#,##0" + ("." + "0" * places if places else "") + "?" * more + PAD


def is_text(content: Content) -> bool:
    """Whether what the cell shows is a text."""
    return isinstance(content, (str, TextEntry, Link)) or isinstance(content.value, str)


def shown(content: Content) -> str:
    """The content as it is shown, for its width; a blank for what is not known."""
    match content:
        case str():
            return content
        case TextEntry():
            return content.text
        case Link():
            return content.sheet
        case Number(value=None) | Formula(value=None):
            return ""
        case Formula(value=str(text)):
            return text
        case _:
            return f"{content.value:,.{content.places}f}"
