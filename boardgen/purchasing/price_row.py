"""One row of a price file as values."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from functools import lru_cache

from msgspec import Struct

from boardgen.purchasing.fields import FieldError, currency_code, day, number, optional, positive, whole_days
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


class Terms(Struct, frozen=True):
    """What all price breaks of an offer must share."""

    currency: str
    minimum: Decimal
    multiple: Decimal
    stock: Decimal | None
    lead_days: int | None
    as_of: date
    source: str


class PriceRow(Struct, frozen=True):
    """One price break as read, with the line it stands on."""

    line: int
    part: str
    supplier: str
    order_code: str
    quantity: Decimal
    unit_price: Decimal
    terms: Terms


def read_row(cells: Mapping[str, str], line: int) -> PriceRow:
    """The row as values. Raises FieldError for the first thing that cannot be used."""
    part = cells["part"]
    if FAMILY in part.removesuffix(FAMILY):
        raise FieldError(
            found=f"part {part!r} has a {FAMILY} before its end", wanted=f"a family is written resistor-{FAMILY}"
        )
    terms = _terms(*map(cells.get, Terms.__struct_fields__))
    quantity, price = positive("quantity", cells["quantity"]), positive("unit_price", cells["unit_price"])
    return PriceRow(line, part, cells["supplier"], cells["order_code"], quantity, price, terms)


@lru_cache(4096)
def _terms(*texts: str | None) -> Terms:
    """Made once for all breaks of an offer."""
    cells = {column: text or "" for column, text in zip(Terms.__struct_fields__, texts, strict=True)}
    return Terms(
        currency_code("currency", cells["currency"]),
        optional(cells, "minimum", positive) or Decimal(1),
        optional(cells, "multiple", positive) or Decimal(1),
        optional(cells, "stock", number),
        optional(cells, "lead_days", whole_days),
        day("as_of", cells["as_of"]),
        cells["source"],
    )
