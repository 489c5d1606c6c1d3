"""What is in stock: the user's table, and what is left of it after an order.

The program writes the same columns, so that the stock after an order is the stock before the next.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import ROUND_FLOOR, Decimal
from typing import Annotated

from msgspec import Struct
from msgspec.structs import replace

from boardgen.model.part import Part
from boardgen.model.problem import Place, Problem
from boardgen.purchasing.makers_numbers import NO_KEYS, Keys
from boardgen.purchasing.money import plain
from boardgen.purchasing.order import StockLine
from boardgen.purchasing.unknown_parts import unknown_parts
from boardgen.tables.column import column
from boardgen.tables.csv_table import CsvKind, read_table

_STOCK = CsvKind(
    "stock",
    others={
        "unit_price": "this is a table of prices: give it with --prices",
        "alternate": "this is a table of alternates: give it with --alternates",
        "shipping": "this is a table of suppliers' terms: give it with --prices",
        "rate": "this is a table of rates: give it with --rates",
    },
)


class StockRow(Struct, frozen=True, kw_only=True):
    """One row a part."""

    part: Annotated[str, column("catalogue key, or the maker's number")]
    quantity: Annotated[Decimal, column("how many are in stock, in pieces, or metres for wire and cable", least=0)]
    note: Annotated[str, column("anything; carried over to the next stock file")] = ""


class StockItem(Struct, frozen=True):
    """So many of a part, with the line it stands on."""

    part: str
    quantity: Decimal
    note: str = ""
    file: str = ""
    line: int | None = None


def read_stock(text: str, file_name: str, keys: Keys = NO_KEYS) -> tuple[tuple[StockItem, ...], tuple[Problem, ...]]:
    """What is in stock, and what is wrong with the table. A part that stands twice counts once, as on its first row.

    `keys` has catalogue keys by what else may stand for a part.
    """
    table = read_table(text, file_name, StockRow, _STOCK)
    found: dict[str, StockItem] = {}
    for line, row in table.rows:
        key = keys.get(row.part, row.part)
        if key in found:
            table.row_fault(line, f"{row.part} a second time", f"the first is on line {found[key].line}")
        else:
            found[key] = StockItem(key, row.quantity, row.note, file_name, line)
    return tuple(found.values()), table.problems


def whole_stock(
    stock: Iterable[StockItem], parts: Mapping[str, Part]
) -> tuple[dict[str, StockItem], tuple[Problem, ...]]:
    """The stock by catalogue key, pieces in whole numbers, and what in it is odd.

    Parameters
    ----------
    stock
        The rows of the user's table.
    parts
        The parts that are known, by key.

    """
    found: dict[str, StockItem] = {}
    problems = []
    unknown = []
    for row in stock:
        part = parts.get(row.part)
        place = Place(row.file, row.line, row.part)
        whole = row.quantity.to_integral_value(ROUND_FLOOR)
        if part is None:
            unknown.append((row.part, place))
        elif part.unit == "piece" and whole != row.quantity:
            text = f"{plain(row.quantity)} pieces"
            problems.append(Problem("stock-row", "warning", place, text, f"{plain(whole)} are taken to be in hand"))
            row = replace(row, quantity=whole)
        found[row.part] = row
    return found, (*unknown_parts("stock-unknown", unknown, parts, "its row is carried over"), *problems)


def stock_after(
    stock: Mapping[str, StockItem],
    parts: Mapping[str, Part],
    bought: Mapping[str, Decimal],
    used: Mapping[str, Decimal],
) -> tuple[StockLine, ...]:
    """What is in stock of each part before and after: those of the stock file first, then what was bought beside.

    Parameters
    ----------
    stock
        What was there, by catalogue key.
    parts
        The parts that are known, by key.
    bought, used
        What comes and what the boards take, by key, in the part's unit; spares and what was bought over the need stay.

    """
    lines = []
    for key in (*stock, *(key for key in bought if key not in stock)):
        part = parts.get(key)
        before = stock[key].quantity if key in stock else Decimal(0)
        more, less = bought.get(key, Decimal(0)), used.get(key, Decimal(0))
        note = stock[key].note if key in stock else ""
        lines.append(StockLine(key, part, part.unit if part else "", before, more, less, before + more - less, note))
    return tuple(lines)
