"""Reads a table of currencies. Rates are the user's, with the day that was given; none is ever fetched.

UTF-8 text, comma-separated, with a heading row; the columns may stand in any order:

from    three capital letters: the currency of a supplier
to      three capital letters: the currency of the order
rate    how much of `to` one unit of `from` is worth, such as 1.4837
as_of   the day of the rate, year-month-day
source  where it is from

A file is taken for such a table where its heading has the column rate. A rate is not turned round: an order in CAD
with prices in EUR needs a row from EUR to CAD.
"""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from boardgen.model.problem import Problem
from boardgen.purchasing.fields import FieldError, currency_code, day, positive
from boardgen.purchasing.order import Rate
from boardgen.purchasing.table import Table

MARK = "rate"
"""The column by which the table is known."""
COLUMNS = ("from", "to", MARK, "as_of", "source")


class GivenRate(Struct, frozen=True):
    """A rate and the currency of the orders that it holds for."""

    to: str
    rate: Rate
    line: int


def read_rates(text: str, file_name: str) -> tuple[tuple[GivenRate, ...], tuple[Problem, ...]]:
    """The rates in a file, and what is wrong with it. Of two rates for one pair the first holds."""
    table = Table("rate", file_name, COLUMNS, ())
    found: dict[tuple[str, str], GivenRate] = {}
    for row in table.rows(text, _read):
        key = (row.rate.currency, row.to)
        if key in found:
            wanted = f"the first is on line {found[key].line}"
            table.row_problem(row.line, f"a second rate from {key[0]} to {key[1]}", wanted)
        else:
            found[key] = row
    return tuple(found.values()), table.sorted_problems


def _read(cells: Mapping[str, str], line: int) -> GivenRate:
    one, other = currency_code("from", cells["from"]), currency_code("to", cells["to"])
    if one == other:
        raise FieldError(found=f"from and to are both {one}", wanted="two currencies")
    rate = Rate(one, positive(MARK, cells[MARK]), day("as_of", cells["as_of"]), cells["source"])
    return GivenRate(other, rate, line)
