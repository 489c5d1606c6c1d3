"""The bill as one table of text, bill.csv.

UTF-8, comma-separated, one row a line of the bill, then three rows of totals that have only a description, a line
cost and a currency. Text that begins with = + - @, a tab or a carriage return has an apostrophe put before it, so
that no spreadsheet calculates it. A blank cell is not known.
"""

from __future__ import annotations

import csv
import io
from decimal import Decimal

from boardgen.formats.harmless import harmless
from boardgen.purchasing.bill import Bill, BillLine
from boardgen.purchasing.money import plain, price_text
from boardgen.workbooks.line_note import line_note

COLUMNS = (
    "line",
    "maker",
    "maker's number",
    "description",
    "value",
    "designators",
    "per board",
    "needed",
    "spares",
    "ordered",
    "unit",
    "supplier",
    "order code",
    "unit price",
    "line cost",
    "currency",
    "lead days",
    "price as of",
    "standing",
    "note",
)


def bill_csv(bill: Bill) -> bytes:
    """The bill with its totals."""
    text = io.StringIO(newline="")
    table = csv.writer(text, lineterminator="\n")
    table.writerow(COLUMNS)
    table.writerows(_row(number, line, bill.currency) for number, line in enumerate(bill.lines, 1))
    for label, amount in totals(bill):
        table.writerow(("", "", "", label, *[""] * 10, amount, bill.currency, *[""] * 4))
    return text.getvalue().encode("utf-8", "replace")


def totals(bill: Bill) -> tuple[tuple[str, Decimal], ...]:
    """The three totals with what they are of."""
    boards = "1 board" if bill.boards == 1 else f"{bill.boards} boards"
    left_out = f", {len(bill.unpriced)} without a price left out" if bill.unpriced else ""
    return (
        (f"Order for {boards}{left_out}", bill.order_total),
        ("Order per board", bill.total_per_board),
        ("Parts in one board", bill.board_value),
    )


def _row(number: int, line: BillLine, currency: str) -> tuple[str, ...]:
    part = line.part
    price = line.unit_price
    return (
        str(number),
        harmless(part.maker),
        harmless(part.number),
        harmless(part.description),
        harmless(part.value),
        harmless(" ".join(line.refs)),
        plain(line.per_board),
        plain(line.needed),
        plain(line.spares),
        plain(line.ordered),
        line.unit,
        harmless(line.supplier),
        harmless(line.order_code),
        "" if price is None else price_text(price, currency),
        "" if line.line_cost is None else str(line.line_cost),
        "" if price is None else currency,
        "" if line.lead_days is None else str(line.lead_days),
        "" if line.as_of is None else line.as_of.isoformat(),
        part.standing,
        harmless(line_note(line)),
    )
