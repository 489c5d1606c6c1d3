"""The order to one supplier as a table of text, for upload.

UTF-8, comma-separated, one row a line. Text that begins with = + - @, a tab or a carriage return has an apostrophe put
before it, so that no spreadsheet calculates it. `reference` names the boards that the part is for.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from boardgen.formats.harmless import harmless
from boardgen.purchasing.money import plain, price_text
from boardgen.purchasing.order import OrderLine, StockLine, SupplierOrder

COLUMNS = (
    "order_code",
    "quantity",
    "unit",
    "maker",
    "makers_number",
    "description",
    "unit_price",
    "line_total",
    "currency",
    "lead_days",
    "reference",
)
STOCK_COLUMNS = ("part", "quantity", "note")


def supplier_csv(order: SupplierOrder) -> bytes:
    """The lines of the order."""
    return _table(COLUMNS, [_row(line, order.currency) for line in order.lines])


def stock_csv(stock: Sequence[StockLine]) -> bytes:
    """What is left of each part, in the form in which the next order reads its stock; nothing of what is used up."""
    rows = [(harmless(line.key), plain(line.left), harmless(line.note)) for line in stock if line.left > 0]
    return _table(STOCK_COLUMNS, rows)


def _table(columns: Sequence[str], rows: Sequence[Sequence[str]]) -> bytes:
    text = io.StringIO(newline="")
    table = csv.writer(text, lineterminator="\n")
    table.writerow(columns)
    table.writerows(rows)
    return text.getvalue().encode("utf-8", "replace")


def _row(line: OrderLine, currency: str) -> tuple[str, ...]:
    return (
        harmless(line.order_code),
        plain(line.quantity),
        line.unit,
        harmless(line.maker),
        harmless(line.number),
        harmless(line.description),
        price_text(line.unit_price, currency),
        str(line.line_total),
        currency,
        "" if line.lead_days is None else str(line.lead_days),
        harmless("; ".join(use.board for use in line.where_used)),
    )
