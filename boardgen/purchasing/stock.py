"""What is in stock: reads the user's table.

The program writes the same columns, so that the stock after an order is the stock before the next.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated

from msgspec import Struct

from boardgen.model.problem import Problem
from boardgen.tables.column import column
from boardgen.tables.csv_table import CsvKind, read_table

_STOCK = CsvKind("stock")


class StockRow(Struct, frozen=True, kw_only=True):
    """One row a part."""

    part: Annotated[str, column("catalogue key")]
    quantity: Annotated[Decimal, column("how many are in stock, in pieces, or metres for wire and cable", least=0)]
    note: Annotated[str, column("anything; carried over to the next stock file")] = ""


class StockItem(Struct, frozen=True):
    """So many of a part, with the line it stands on."""

    part: str
    quantity: Decimal
    note: str = ""
    file: str = ""
    line: int | None = None


def read_stock(text: str, file_name: str) -> tuple[tuple[StockItem, ...], tuple[Problem, ...]]:
    """What is in stock, and what is wrong with the table. A part that stands twice counts once, as on its first row."""
    table = read_table(text, file_name, StockRow, _STOCK)
    found: dict[str, StockItem] = {}
    for line, row in table.rows:
        if row.part in found:
            table.row_fault(line, f"{row.part} a second time", f"the first is on line {found[row.part].line}")
        else:
            found[row.part] = StockItem(row.part, row.quantity, row.note, file_name, line)
    return tuple(found.values()), table.problems
