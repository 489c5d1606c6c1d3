"""The buyer's own sheet of an order: where each line is bought, when and under which number, what came, and remarks.

Its lines stand in the order in which they were chosen, wherever they are bought since. It is not sent to a supplier.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from msgspec import Struct

from boardgen.purchasing.moved_lines import suppliers_of
from boardgen.purchasing.order import Order, OrderLine, SupplierOrder
from boardgen.workbooks.cells import Content, Entry, Formula, Link, Number, TextEntry
from boardgen.workbooks.entries import quantity_places
from boardgen.workbooks.order_supplier import key, supplier_titles
from boardgen.workbooks.sheet import Block, Column, Gap, Heading, Kind, Line, Sheet, letter, or_gap, table

TITLE = "Tracking"
ORDERED_ON = Entry("Ordered on", "The day on which you ordered it, year-month-day, such as 2026-12-01.", None)
ORDER_NUMBER = Entry("Order number", "The number of your order, or the supplier's.", None)
REMARK = Entry("Remark", "Anything; it comes back with the workbook.", None, longest=240)


def received_entry(unit: str) -> Entry:
    """How many came, in this unit."""
    whole = unit == "piece"
    return Entry("Received", f"How {'many' if whole else 'many metres'} came; blank for none.", whole=whole)


def buy_at_entry(line: OrderLine) -> Entry:
    """The suppliers to whom the line can be moved."""
    names = suppliers_of(line)
    return Entry("Buy at", "Another supplier who sells it: the line is moved there when the workbook is read.", None,
                 choices=names)  # fmt: skip


class _Tracked(Struct, frozen=True):
    """A line, who sells it now, the sheet of that supplier, and the line's number there."""

    line: OrderLine
    supplier: SupplierOrder
    sheet_key: str
    sheet: str
    number: int


def _column(
    name: str,
    heading: str,
    cell: Callable[[_Tracked], Content],
    kind: Kind = "text",
    *,
    widest: int = 30,
    room: int = 0,
) -> Column[_Tracked]:
    return Column(name, heading, lambda _, tracked: cell(tracked), kind, widest, room)


def _ordered_on(tracked: _Tracked) -> TextEntry:
    return TextEntry(str(tracked.line.progress.ordered_on or ""), ORDERED_ON)


def _quantity(tracked: _Tracked) -> Formula:
    lines, quantities = (f"{{{tracked.sheet_key}[column][{name}]}}" for name in ("line", "quantity"))
    line = tracked.line
    return Formula(f"=SUMIF({lines},{tracked.number},{quantities})", line.quantity, quantity_places(line.unit))


def _open(tracked: _Tracked) -> Formula:
    line = tracked.line
    left = max(Decimal(), line.quantity - (line.progress.received or Decimal()))
    return Formula("=MAX(0,ROUND({quantity}-{received},6))", left, quantity_places(line.unit))


def _received(tracked: _Tracked) -> Number:
    line = tracked.line
    return Number(line.progress.received, quantity_places(line.unit), received_entry(line.unit))


def _others(tracked: _Tracked) -> str:
    """What the other suppliers of the part ask more or less for the line, before freight."""
    line = tracked.line
    mine = next((quote for quote in line.quotes if quote.supplier == tracked.supplier.supplier), None)
    said = []
    for quote in line.quotes:
        if quote.part == line.part.key and mine is not None and quote.supplier != mine.supplier:
            more = quote.in_order_currency - mine.in_order_currency
            words = f"{more} more" if more > 0 else f"{-more} less" if more else "as much"
            said.append(f"{quote.supplier}: {words}" + (f", {quote.refused}" if quote.refused else ""))
    return "; ".join(said)


COLUMNS: tuple[Column[_Tracked], ...] = (
    _column("position", "No.", lambda t: Number(Decimal(t.line.position)), "number"),
    _column("name", "Part", lambda t: t.line.part.name, widest=28),
    _column("quantity", "Quantity", _quantity, "number"),
    _column("unit", "Unit", lambda t: t.line.unit),
    _column("supplier", "Supplier", lambda t: t.supplier.supplier, widest=26),
    _column("sheet", "Sheet", lambda t: Link(t.sheet), widest=28),
    _column("number", "Line", lambda t: Number(Decimal(t.number)), "number"),
    _column("buy_at", "Buy at\nenter", lambda t: TextEntry(t.supplier.supplier, buy_at_entry(t.line)), widest=26),
    _column("others", "Others ask", _others, widest=44),
    _column("ordered_on", "Ordered on\nenter", _ordered_on, room=11),
    _column(
        "order_number", "Order number\nenter", lambda t: TextEntry(t.line.progress.order_number, ORDER_NUMBER), room=14
    ),
    _column("received", "Received\nenter", _received, "number"),
    _column("open", "Still\nto come", _open, "number"),
    _column("remark", "Remark\nenter", lambda t: TextEntry(t.line.progress.remark, REMARK), widest=34, room=24),
)
AT = {column.name: letter(number) for number, column in enumerate(COLUMNS, 1)}
"""The letters of the columns by name."""


def tracking_sheet(order: Order) -> Sheet:
    """A row a line, as they were chosen."""
    places = {
        supplier.supplier: (key(number), title)
        for number, (title, supplier) in enumerate(zip(supplier_titles(order), order.suppliers, strict=True), 1)
    }
    rows = [_Tracked(line, s, *places[s.supplier], number) for s, number, line in order.as_chosen]
    blocks: list[Block] = [
        Line(f"{order.title}: tracking", "title"),
        Line(
            "For the buyer alone. Boxed cells come back with the workbook; a line whose supplier is changed under Buy "
            f"at is moved there, at that supplier's price. Others ask in {order.currency}, before freight.",
            "soft",
        ),
        Gap(),
        Heading(),
        *or_gap(table(COLUMNS, rows)),
    ]
    return Sheet("Tracking", TITLE, COLUMNS, blocks, sortable=True)
