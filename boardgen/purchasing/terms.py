"""Reads what suppliers ask beside their prices.

UTF-8 text, comma-separated, with a heading row; one row a supplier and currency; the columns may stand in any order:

supplier       as in the price files
currency       three capital letters: the row holds for orders paid in it
shipping       of one order, whatever it holds; 0 where it is free
free_from      value of goods from which shipping is free, blank where it never is
order_fee      handling or small-order fee of each order, blank for none
tax_percent    on goods, shipping and fee together, such as 5 or 14.975; blank for none
minimum_order  least value of goods that is sold, blank for none
as_of          the day the terms were asked, year-month-day
source         where they are from; the word "invented" here or in the supplier marks terms for demonstration

A file is taken for such a table where its heading has the column shipping.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from msgspec import Struct

from boardgen.model.problem import Problem
from boardgen.purchasing.fields import FieldError, currency_code, day, number, optional, positive
from boardgen.purchasing.order import SupplierTerms
from boardgen.purchasing.table import Table

MARK = "shipping"
"""The column by which the table is known."""
COLUMNS = (
    "supplier",
    "currency",
    MARK,
    "free_from",
    "order_fee",
    "tax_percent",
    "minimum_order",
    "as_of",
    "source",
)
MAY_BE_BLANK = ("free_from", "order_fee", "tax_percent", "minimum_order")
MOST_TAX_PERCENT = 100


class _Row(Struct, frozen=True):
    line: int
    terms: SupplierTerms


def read_terms(text: str, file_name: str) -> tuple[tuple[SupplierTerms, ...], tuple[Problem, ...]]:
    """The terms in a file, and what is wrong with it. Of two rows for one supplier and currency the first holds."""
    table = Table("terms", file_name, COLUMNS, MAY_BE_BLANK)
    found: dict[tuple[str, str], _Row] = {}
    for row in table.rows(text, _read):
        key = (row.terms.supplier, row.terms.currency)
        if key in found:
            wanted = f"the first is on line {found[key].line}"
            table.row_problem(row.line, f"a second row for {key[0]} in {key[1]}", wanted)
        else:
            found[key] = row
    return tuple(row.terms for row in found.values()), table.sorted_problems


def _read(cells: Mapping[str, str], line: int) -> _Row:
    tax = optional(cells, "tax_percent", number) or Decimal(0)
    if tax > MOST_TAX_PERCENT:
        raise FieldError(found=f"tax_percent is {tax}", wanted=f"0 to {MOST_TAX_PERCENT}")
    supplier, source = cells["supplier"], cells["source"]
    terms = SupplierTerms(
        supplier=supplier,
        currency=currency_code("currency", cells["currency"]),
        shipping=number(MARK, cells[MARK]),
        free_from=optional(cells, "free_from", positive),
        order_fee=optional(cells, "order_fee", number) or Decimal(0),
        tax_percent=tax,
        minimum_order=optional(cells, "minimum_order", positive),
        as_of=day("as_of", cells["as_of"]),
        source=source,
        invented="invented" in f"{supplier} {source}".lower(),
    )
    return _Row(line, terms)
