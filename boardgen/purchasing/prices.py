"""Reads price files.

A price file is UTF-8 text, comma-separated, with a heading row; the columns may stand in any order:

part        catalogue key, or a family such as resistor-* (every part whose key begins with resistor-)
supplier    who sells it
order_code  the supplier's number; a * stands for the part's number
currency    three capital letters
quantity    from how many on the price of this row holds: pieces, metres of wire and cable, dm2 of board-rate-area
unit_price  price of one piece, metre or dm2
minimum     least that is sold, blank for 1
multiple    sold in multiples of, blank for 1
stock       how many the supplier has, blank where not known
lead_days   days to delivery, blank where not known
as_of       the day the price was asked, year-month-day
source      where the price is from; the word "invented" here or in the supplier marks a price for demonstration

One row a price break: rows with the same part, supplier and order code are one offer and agree in everything but
quantity and unit price. A row that cannot be used is named and left out; the rest holds.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from boardgen.model.problem import Place, Problem
from boardgen.purchasing.money import plain
from boardgen.purchasing.offer import Break, Offer
from boardgen.purchasing.price_row import COLUMNS, MAY_BE_BLANK, PriceRow, read_row
from boardgen.purchasing.table import Table


def read_prices(text: str, file_name: str) -> tuple[tuple[Offer, ...], tuple[Problem, ...]]:
    """The offers in a price file, in the order they first appear, and what is wrong with the file."""
    table = Table("price", file_name, COLUMNS, MAY_BE_BLANK)
    groups: dict[tuple[str, str, str], list[PriceRow]] = {}
    for row in table.rows(text, read_row):
        group = groups.setdefault((row.part, row.supplier, row.order_code), [])
        if conflict := _conflict(group, row):
            table.row_problem(row.line, *conflict)
        else:
            group.append(row)
    for group in groups.values():
        _name_dearer_breaks(group, table)
    offers = tuple(_offer(group, file_name) for group in groups.values())
    return offers, table.sorted_problems


def _conflict(group: Sequence[PriceRow], row: PriceRow) -> tuple[str, str] | None:
    """How the row contradicts the rows of its offer before it."""
    if not group:
        return None
    first = group[0]
    # most rows share the very terms, which are made once
    for name in first.terms.__struct_fields__ if row.terms is not first.terms else ():
        found, wanted = getattr(row.terms, name), getattr(first.terms, name)
        if found != wanted:
            return (
                f"{name} {_said(found)} in an offer with {_said(wanted)} on line {first.line}",
                "one for all its rows",
            )
    for other in group:
        if other.quantity == row.quantity:
            return f"a second price from {plain(row.quantity)} on", f"the first is on line {other.line}"
    return None


def _said(value: object) -> str:
    return "blank" if value is None else str(value)


def _offer(group: Sequence[PriceRow], file_name: str) -> Offer:
    first = group[0]
    terms = first.terms
    return Offer(
        first.part,
        first.supplier,
        first.order_code,
        terms.currency,
        tuple(sorted(Break(row.quantity, row.unit_price) for row in group)),
        terms.minimum,
        terms.multiple,
        terms.stock,
        terms.lead_days,
        terms.as_of,
        "invented" in f"{first.supplier} {terms.source}".lower(),
        terms.source,
        Place(file_name, first.line),
    )


def _name_dearer_breaks(group: Sequence[PriceRow], table: Table) -> None:
    for fewer, more in pairwise(sorted(group, key=lambda row: row.quantity)):
        if more.unit_price > fewer.unit_price:
            found = f"{more.part}: from {plain(more.quantity)} on dearer than from {plain(fewer.quantity)}"
            hint = "The price is used as it stands"
            table.row_problem(more.line, found, f"compare line {fewer.line}", "warning", hint)
