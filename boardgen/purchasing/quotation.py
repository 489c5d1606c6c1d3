"""A request for quotation: what is wanted, at which quantities, and how a workbook that a supplier filled in is read.

Filled in, it holds one table of prices, which becomes a price table with its rows on the same lines, and above it the
supplier's terms, which become a table of terms.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from decimal import Decimal

from msgspec import Struct

from boardgen.model.part import Part
from boardgen.purchasing.order import Order, SupplierTerms
from boardgen.purchasing.price_tables import PriceRow
from boardgen.tables.column import columns_of

BREAKS = 3
"""At how many quantities a price is asked for."""
HEADINGS = {
    "part": "Our part",
    "name": "Part",
    "description": "What it is",
    "quantity": "From how\nmany, enter",
    "unit": "Unit",
    "unit_price": "Unit price\nenter",
    "order_code": "Your order code\nenter",
    "minimum": "Least sold\nenter",
    "multiple": "Sold in steps\nof, enter",
    "stock": "In stock\nenter",
    "lead_days": "Lead days\nenter",
    "remark": "Remark\nenter",
}
"""The headings of the table by what stands in the columns."""
SETTINGS = {
    "supplier": "Supplier, enter",
    "currency": "Currency, enter",
    "as_of": "Day of the offer, enter",
    "until": "It holds until, enter",
    "shipping": "Shipping, enter",
    "free_from": "Free from, enter",
    "order_fee": "Order fee, enter",
    "tax_percent": "Tax, %, enter",
    "minimum_order": "Least order, enter",
}
"""The labels of what is entered once above the table."""
_TERMS = ("shipping", "free_from", "order_fee", "tax_percent", "minimum_order")
_ONCE = ("order_code", "minimum", "multiple", "stock", "lead_days", "remark")
"""What is as in the row above where a further row of a part leaves it blank."""


class QuotationError(ValueError):
    """Why a quotation cannot be read, the row where that is, and what to do."""

    def __init__(self, line: int, found: str, hint: str) -> None:
        self.line, self.found, self.hint = line, found, hint
        super().__init__(found)


class Wanted(Struct, frozen=True):
    """So much of a part, in `unit`; `note` says of a bare board what it is."""

    part: Part
    quantity: Decimal
    unit: str
    note: str

    @property
    def words(self) -> str:
        """What it is."""
        value, words = self.part.value, self.part.description
        if value and value not in words:
            words = f"{words}, {value}"
        return f"{words}; {self.note}" if self.part.kind == "bare board" and self.note else words

    @property
    def quantities(self) -> tuple[Decimal, ...]:
        """How many are wanted, and the next of 10, 20, 50, 100 and so on, at which prices usually fall."""
        found, at = [self.quantity], Decimal(10)
        while len(found) < BREAKS:
            found += [step for step in (at, 2 * at, 5 * at) if step > self.quantity][: BREAKS - len(found)]
            at *= 10
        return tuple(found)


def wanted(order: Order) -> list[Wanted]:
    """What is to be bought of each part, before anybody's multiples; then what nobody sells yet."""
    found: dict[str, Wanted] = {}
    for line in order.lines:
        quantity = line.needed + line.spares - line.from_stock
        before = found.get(line.part.key)
        more = before.quantity if before else Decimal(0)
        found[line.part.key] = Wanted(line.part, quantity + more, line.unit, line.note)
    for unbought in order.unbought:
        quantity = unbought.needed + unbought.spares - unbought.from_stock
        found[unbought.part.key] = Wanted(unbought.part, quantity, unbought.unit, unbought.note)
    return list(found.values())


def quotation_tables(rows: Sequence[Sequence[str]]) -> tuple[str, ...] | None:
    """The tables of prices and of terms that a filled-in workbook holds; None where the rows are no such workbook.

    Parameters
    ----------
    rows
        The texts of its cells, row by row.

    Raises
    ------
    QuotationError
        Where prices stand there, but not whose, in which currency and of which day; or no price.

    """
    headings = [" ".join(text.split()) for text in HEADINGS.values()]
    top = next((n for n, row in enumerate(rows) if list(row[: len(headings)]) == headings), None)
    if top is None:
        return None
    above = {row[0]: (n, row[1] if len(row) > 1 else "") for n, row in enumerate(rows[:top], 1) if row}
    given = {name: above.get(label, (top, "")) for name, label in SETTINGS.items()}
    quoted = _quoted(rows, top)
    if not quoted:
        raise QuotationError(top + 1, "no unit price is entered", "Leave the quotation out until it is filled in")
    for name in ("supplier", "currency", "as_of"):
        line, value = given[name]
        if not value:
            raise QuotationError(line, f'"{SETTINGS[name]}" is blank', "Ask the supplier, and enter it")
    values = {name: value for name, (_, value) in given.items()}
    prices = _prices(quoted, values, len(rows), top)
    return (prices, _terms(values, given["supplier"][0])) if any(values[name] for name in _TERMS) else (prices,)


def _quoted(rows: Sequence[Sequence[str]], top: int) -> dict[int, dict[str, str]]:
    """The rows with a price, by their index, with what they leave to the row above."""
    found: dict[int, dict[str, str]] = {}
    before: dict[str, str] = {}
    for n, row in enumerate(rows[top + 1 :], top + 1):
        cells = dict(zip(HEADINGS, (*row, *[""] * len(HEADINGS)), strict=False))
        if before and cells["part"] == before["part"]:
            cells |= {name: before[name] for name in _ONCE if not cells[name]}
        before = cells
        if cells["part"] and cells["unit_price"]:
            found[n] = cells
    return found


def _prices(quoted: Mapping[int, Mapping[str, str]], values: Mapping[str, str], length: int, top: int) -> str:
    """A price table whose rows stand on the lines of the quotation's."""
    columns = [column.name for column in columns_of(PriceRow)]
    until = f", holds until {values['until']}" if values["until"] else ""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    for n in range(length):
        if n == top:
            writer.writerow(columns)
        elif n in quoted:
            remark = f": {quoted[n]['remark']}" if quoted[n]["remark"] else ""
            said = {**values, **quoted[n], "source": f"quotation{until}{remark}"}
            writer.writerow([said[name] for name in columns])
        else:
            out.write("\n")
    return out.getvalue()


def _terms(values: Mapping[str, str], line: int) -> str:
    """A table of terms with its one row on the line where the supplier is named."""
    out = io.StringIO("\n" * max(0, line - 2))
    out.seek(0, io.SEEK_END)
    names = [name for name in SupplierTerms.__struct_fields__ if name in values]
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([*names, "source"])
    writer.writerow([*(values[name] for name in names), "quotation"])
    return out.getvalue()
