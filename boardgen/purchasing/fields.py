"""Fields of a table as values, and what may be wrong with each."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal
from functools import lru_cache
from typing import TypeVar

_NUMBER = re.compile(r"[0-9]{1,12}(\.[0-9]{1,8})?")
_Value = TypeVar("_Value")
_known = lru_cache(4096)
"""For fields that many rows share: the day, the currency, round numbers."""


class FieldError(ValueError):
    """A field that cannot be used. `found` and `wanted` are the two halves of a Problem."""

    def __init__(self, found: str, wanted: str) -> None:
        self.found = found
        self.wanted = wanted
        super().__init__(f"{found}; {wanted}")


def optional(cells: Mapping[str, str], column: str, read: Callable[[str, str], _Value]) -> _Value | None:
    """The field of that column, None where it is blank or the column is not there."""
    text = cells.get(column, "")
    return read(column, text) if text else None


@_known
def number(column: str, text: str) -> Decimal:
    """A number from 0, of at most 12 digits and 8 decimals."""
    if text.startswith("-"):
        raise FieldError(found=f"{column} {text!r} is negative", wanted="a number from 0")
    if not _NUMBER.fullmatch(text):
        raise FieldError(found=f"{column} {text!r} is not a number", wanted="digits with a decimal point, such as 2.95")
    return Decimal(text)


def positive(column: str, text: str) -> Decimal:
    """A number above 0."""
    found = number(column, text)
    if not found:
        raise FieldError(found=f"{column} is 0", wanted="more than 0; leave the row out where it is not known")
    return found


def whole_days(column: str, text: str) -> int:
    """A whole number of days."""
    found = number(column, text)
    if found != int(found):
        raise FieldError(found=f"{column} {text!r} is not a whole number", wanted="days, such as 5")
    return int(found)


@_known
def currency_code(column: str, text: str) -> str:
    """The code of a currency as in ISO 4217."""
    if not re.fullmatch("[A-Z]{3}", text):
        raise FieldError(found=f"{column} {text!r} is not a currency code", wanted="three capital letters, such as CAD")
    return text


@_known
def day(column: str, text: str) -> date:
    """A day written year-month-day."""
    try:
        if re.fullmatch("[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
            return date.fromisoformat(text)
    except ValueError:
        pass
    raise FieldError(found=f"{column} {text!r} is not a day", wanted="year-month-day, such as 2026-11-01")
