"""What to order and what it costs."""

from __future__ import annotations

from boardgen.documents.book.source import Source, listed
from boardgen.documents.counted import counted
from boardgen.documents.page.blocks import Block, Caution, Column, Section, Table, Terms
from boardgen.purchasing.bill import BillLine
from boardgen.purchasing.needs import unfitted


def section(source: Source) -> Section:
    """The lines of the order, its cost, and places that stay empty."""
    bill = source.design.bill
    money = bill.currency
    columns = (
        Column("Order", "number"), Column("Part", "code"), Column("Stands at"), Column("Supplier, order code"),
        Column(f"Each, {money}", "number"), Column(f"Line, {money}", "number"),
    )  # fmt: skip
    blocks: list[Block] = [
        Table("The bill", columns, [_row(line) for line in bill.lines]),
        Terms(
            (
                ("order", f"{bill.order_total} {money} for {_boards(bill.boards)}, {bill.spares.fraction:.0%} spares"),
                ("one board", f"{bill.board_value} {money} of parts go into one board"),
            )
        ),
    ]
    if any(line.invented for line in bill.lines):
        words = "Prices and suppliers are invented, for demonstration only: give a price file of your own."
        blocks.append(Caution("caution", (words,)))
    if bill.unpriced:
        names = ", ".join(line.part.name for line in bill.unpriced)
        blocks.append(Caution("caution", (f"Without a price, and not in the totals: {names}.",)))
    empty = unfitted(source.design.netlist)
    if empty:
        rows = [(listed(refs), part.name) for refs, part in empty]
        blocks.append(
            Table("Places that stay empty", (Column("Place"), Column("Part that would go there", "code")), rows)
        )
    do = (
        "Order from bill.xlsx, which holds the same lines with alternatives and lead times; this "
        "is the copy for the bench."
    )
    return Section("bill", "Bill and cost", do, tuple(blocks))


def _boards(count: int) -> str:
    return counted(count, "board")


def _row(line: BillLine) -> tuple[str, ...]:
    each = "" if line.unit_price is None else f"{line.unit_price}"
    cost = "not priced" if line.line_cost is None else f"{line.line_cost}"
    unit = "" if line.unit == "piece" else f" {line.unit}"
    where = listed(line.refs) or line.note or line.part.description
    bought = ", ".join(text for text in (line.supplier, line.order_code) if text)
    return f"{line.ordered.normalize():f}{unit}", line.part.name, where, bought, each, cost
