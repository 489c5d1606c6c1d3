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

import csv
import difflib
import io
from collections.abc import Iterator, Sequence
from itertools import pairwise

from boardgen.model.problem import Place, Problem, Severity
from boardgen.purchasing.money import plain
from boardgen.purchasing.offer import Break, Offer
from boardgen.purchasing.price_row import COLUMNS, MAY_BE_BLANK, FieldError, PriceRow, read_row


def read_prices(text: str, file_name: str) -> tuple[tuple[Offer, ...], tuple[Problem, ...]]:
    """The offers in a price file, in the order they first appear, and what is wrong with the file."""
    problems: list[Problem] = []
    rows = _table(text, file_name, problems)
    groups: dict[tuple[str, str, str], list[PriceRow]] = {}
    for row in _priced(rows, file_name, problems):
        group = groups.setdefault((row.part, row.supplier, row.order_code), [])
        if conflict := _conflict(group, row):
            problems.append(_row_problem(file_name, row.line, *conflict))
        else:
            group.append(row)
    offers = tuple(_offer(group) for group in groups.values())
    problems += [p for group in groups.values() for p in _dearer_breaks(group, file_name)]
    return offers, tuple(sorted(problems, key=lambda problem: problem.place.line or 0))


def _table(text: str, file_name: str, problems: list[Problem]) -> list[tuple[int, list[str]]]:
    """The rows with the line each begins on, blank ones left out; reports what is no table."""
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    rows = []
    line = 1
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                rows.append((line, [cell.strip() for cell in cells]))
            line = reader.line_num + 1
    except csv.Error as error:
        hint = "It is left out with all that follows"
        problems.append(_row_problem(file_name, line, f"not a row of a table: {error}", "closed quotes", hint=hint))
    return rows


def _priced(rows: Sequence[tuple[int, list[str]]], file_name: str, problems: list[Problem]) -> Iterator[PriceRow]:
    if not rows:
        problems.append(_file_problem(file_name, 1, "the file holds no table"))
        return
    first, heading = rows[0]
    problems += _heading_problems(heading, first, file_name)
    if any(problem.id == "price-columns" for problem in problems):
        return
    for line, cells in rows[1:]:
        try:
            yield read_row(heading, cells, line)
        except FieldError as fault:
            problems.append(_row_problem(file_name, line, fault.found, fault.wanted))


def _heading_problems(heading: list[str], line: int, file_name: str) -> list[Problem]:
    missing = [column for column in COLUMNS if column not in heading and column not in MAY_BE_BLANK]
    problems = []
    for column in heading:
        if column in COLUMNS:
            continue
        near = difflib.get_close_matches(column.lower().replace(" ", "_"), COLUMNS, 1)
        hint = f"Did you mean {near[0]}?" if near else ""
        place = Place(file_name, line, column)
        problems.append(Problem("price-column", "warning", place, f"unknown column {column!r}", "it is ignored", hint))
    twice = sorted({column for column in heading if heading.count(column) > 1})
    problems += [_file_problem(file_name, line, f"the column {column!r} stands there twice") for column in twice]
    if missing:
        problems.append(_file_problem(file_name, line, f"no column {', '.join(missing)}"))
    return problems


def _conflict(group: Sequence[PriceRow], row: PriceRow) -> tuple[str, str] | None:
    """How the row contradicts the rows of its offer before it."""
    if not group:
        return None
    first = group[0]
    for name in first.terms.__slots__:
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


def _offer(group: Sequence[PriceRow]) -> Offer:
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
    )


def _dearer_breaks(group: Sequence[PriceRow], file_name: str) -> Iterator[Problem]:
    for fewer, more in pairwise(sorted(group, key=lambda row: row.quantity)):
        if more.unit_price > fewer.unit_price:
            found = f"{more.part}: from {plain(more.quantity)} on dearer than from {plain(fewer.quantity)}"
            hint = "The price is used as it stands"
            yield _row_problem(file_name, more.line, found, f"compare line {fewer.line}", "warning", hint)


def _row_problem(
    file_name: str,
    line: int,
    found: str,
    wanted: str,
    severity: Severity = "shortfall",
    hint: str = "The row is left out",
) -> Problem:
    return Problem("price-row", severity, Place(file_name, line), found, wanted, hint)


def _file_problem(file_name: str, line: int, found: str) -> Problem:
    wanted = f"comma-separated columns: {', '.join(COLUMNS)}"
    return Problem(
        "price-columns", "shortfall", Place(file_name, line), found, wanted, "No price is read from the file"
    )
