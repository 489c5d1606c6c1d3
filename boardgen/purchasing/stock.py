"""Reads and writes what is in stock.

UTF-8 text, comma-separated, with a heading row; the columns may stand in any order:

part      catalogue key
quantity  how many are in hand, in pieces, or metres for wire and cable
note      anything, or blank; carried over to the next stock file

One row a part. The program writes the same columns, so that the stock after an order is the stock before the next.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from msgspec import Struct

from boardgen.model.problem import Problem
from boardgen.purchasing.fields import number
from boardgen.purchasing.table import Table

COLUMNS = ("part", "quantity", "note")


class StockItem(Struct, frozen=True):
    """So many of a part, with the line it stands on."""

    part: str
    quantity: Decimal
    note: str = ""
    file: str = ""
    line: int | None = None


def read_stock(text: str, file_name: str) -> tuple[tuple[StockItem, ...], tuple[Problem, ...]]:
    """What is in hand, and what is wrong with the file. A part that stands twice counts once, as on its first row."""
    table = Table("stock", file_name, COLUMNS, ("note",))
    found: dict[str, StockItem] = {}

    def read(cells: Mapping[str, str], line: int) -> StockItem:
        return StockItem(cells["part"], number("quantity", cells["quantity"]), cells.get("note", ""), file_name, line)

    for row in table.rows(text, read):
        if row.part in found:
            table.row_problem(
                row.line or 0, f"{row.part} a second time", f"the first is on line {found[row.part].line}"
            )
        else:
            found[row.part] = row
    return tuple(found.values()), table.sorted_problems
