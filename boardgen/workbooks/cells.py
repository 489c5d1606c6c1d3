"""What stands in a cell of a workbook: text, a number, a formula with its value, or an entry to be changed by hand."""

from __future__ import annotations

from decimal import Decimal
from typing import TypeAlias

from msgspec import Struct

from boardgen.purchasing.money import decimal_places


class Entry(Struct, frozen=True):
    """What may be typed into a cell: a number from `least` on, or with `least` None a short text.

    `name` and `hint` are shown, and read aloud, when the cell is selected.
    """

    name: str
    hint: str
    least: Decimal | None = Decimal(0)
    whole: bool = False


class Number(Struct, frozen=True):
    """A number with its decimals, or in the format `form`; None is a blank. With an `entry` it may be changed."""

    value: Decimal | float | None
    places: int = 0
    entry: Entry | None = None
    form: str = ""


class TextEntry(Struct, frozen=True):
    """A text that may be changed by hand."""

    text: str
    entry: Entry


class Formula(Struct, frozen=True):
    """A formula of ours (never of the user's text) with its value, for viewers that do not calculate; None is ""."""

    text: str
    value: Decimal | str | None
    places: int = 0
    form: str = ""


Content: TypeAlias = str | Number | TextEntry | Formula


def half_up(amount: str, currency: str) -> str:
    """The formula that rounds an amount half up to what the currency can be paid in, as `money.rounded` does.

    A product of binary fractions may come out below the half that it stands for (137.7 x 1795 is below 247171.5), so
    a little is put on top: less than any other amount could fall short by, at up to eight decimals of a price and a
    million of the currency in one line.
    """
    places = decimal_places(currency)
    return f"ROUND({amount}+5E-{places + 8},{places})"


def shown(content: Content) -> str:
    """The content as it is shown, for its width; a blank for what is not known."""
    if isinstance(content, str):
        return content
    if isinstance(content, TextEntry):
        return content.text
    if isinstance(content.value, str):
        return content.value
    return "" if content.value is None else f"{content.value:,.{content.places}f}"
