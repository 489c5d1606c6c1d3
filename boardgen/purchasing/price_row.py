"""One row of a price file: its fields, and what may be wrong with each."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TypeVar

from boardgen.purchasing.offer import FAMILY

COLUMNS = (
    "part",
    "supplier",
    "order_code",
    "currency",
    "quantity",
    "unit_price",
    "minimum",
    "multiple",
    "stock",
    "lead_days",
    "as_of",
    "source",
)
MAY_BE_BLANK = ("minimum", "multiple", "stock", "lead_days")

_NUMBER = re.compile(r"[0-9]{1,12}(\.[0-9]{1,8})?")
_Value = TypeVar("_Value")


class FieldError(ValueError):
    """A field that cannot be used. `found` and `wanted` are the two halves of a Problem."""

    def __init__(self, found: str, wanted: str) -> None:
        self.found = found
        self.wanted = wanted
        super().__init__(f"{found}; {wanted}")


@dataclass(frozen=True, slots=True)
class Terms:
    """What all price breaks of an offer must share."""

    currency: str
    minimum: Decimal
    multiple: Decimal
    stock: Decimal | None
    lead_days: int | None
    as_of: date
    source: str


@dataclass(frozen=True, slots=True)
class PriceRow:
    """One price break as read, with the line it stands on."""

    line: int
    part: str
    supplier: str
    order_code: str
    quantity: Decimal
    unit_price: Decimal
    terms: Terms


def read_row(heading: Sequence[str], fields: Sequence[str], line: int) -> PriceRow:
    """The row as values. Raises FieldError for the first thing that cannot be used."""
    if len(fields) != len(heading):
        raise FieldError(found=f"{len(fields)} fields", wanted=f"the heading has {len(heading)}")
    cells = dict(zip(heading, fields, strict=True))
    for column in COLUMNS:
        if column not in MAY_BE_BLANK and not cells.get(column):
            raise FieldError(found=f"{column} is blank", wanted="every price needs it")
    part = cells["part"]
    if FAMILY in part.removesuffix(FAMILY):
        raise FieldError(
            found=f"part {part!r} has a {FAMILY} before its end", wanted=f"a family is written resistor-{FAMILY}"
        )
    terms = Terms(
        _currency(cells["currency"]),
        _optional(cells, "minimum", _positive) or Decimal(1),
        _optional(cells, "multiple", _positive) or Decimal(1),
        _optional(cells, "stock", _number),
        _optional(cells, "lead_days", _whole),
        _day(cells["as_of"]),
        cells["source"],
    )
    quantity, price = _positive("quantity", cells["quantity"]), _positive("unit_price", cells["unit_price"])
    return PriceRow(line, part, cells["supplier"], cells["order_code"], quantity, price, terms)


def _optional(cells: Mapping[str, str], column: str, read: Callable[[str, str], _Value]) -> _Value | None:
    text = cells.get(column, "")
    return read(column, text) if text else None


def _number(column: str, text: str) -> Decimal:
    if text.startswith("-"):
        raise FieldError(found=f"{column} {text!r} is negative", wanted="a number from 0")
    if not _NUMBER.fullmatch(text):
        raise FieldError(found=f"{column} {text!r} is not a number", wanted="digits with a decimal point, such as 2.95")
    return Decimal(text)


def _positive(column: str, text: str) -> Decimal:
    number = _number(column, text)
    if not number:
        raise FieldError(found=f"{column} is 0", wanted="more than 0; leave the row out where it is not known")
    return number


def _whole(column: str, text: str) -> int:
    number = _number(column, text)
    if number != int(number):
        raise FieldError(found=f"{column} {text!r} is not a whole number", wanted="days, such as 5")
    return int(number)


def _currency(text: str) -> str:
    if not re.fullmatch("[A-Z]{3}", text):
        raise FieldError(found=f"currency {text!r} is not a currency code", wanted="three capital letters, such as CAD")
    return text


def _day(text: str) -> date:
    try:
        if re.fullmatch("[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
            return date.fromisoformat(text)
    except ValueError:
        pass
    raise FieldError(found=f"as_of {text!r} is not a day", wanted="year-month-day, such as 2026-11-01")
