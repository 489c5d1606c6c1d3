"""What to order and what it costs."""

from __future__ import annotations

from boardgen.documents.book.source import Source, listed
from boardgen.documents.counted import counted
from boardgen.documents.identity import named
from boardgen.documents.page.blocks import Block, Caution, Column, Section, Table, Terms
from boardgen.documents.text import Code, Text, Value
from boardgen.purchasing.bill import BillLine
from boardgen.purchasing.money import rounded
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
        Table("The bill", columns, [_row(line, source) for line in bill.lines]),
        Terms(
            (
                (
                    "order",
                    (
                        Value(named("order", "total"), f"{bill.order_total} {money}"),
                        f" for {counted(bill.boards, 'board')}, ",
                        Value(named("order", "spares"), f"{bill.spares.fraction:.0%}"),
                        " spares",
                    ),
                ),
                (
                    "one board",
                    (
                        Value(named("board", "value"), f"{bill.board_value} {money}"),
                        " of parts go into one board",
                    ),
                ),
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


def _row(line: BillLine, source: Source) -> tuple[Text, ...]:
    name = line.part.name
    each = "" if line.unit_price is None else Value(named(name, "unit price"), f"{line.unit_price}")
    money = source.design.bill.currency
    cost: Text = "not priced"
    if line.line_cost is not None:
        cost = Value(named(name, "line cost"), f"{rounded(line.line_cost, money)}")
    unit = "" if line.unit == "piece" else f" {line.unit}"
    ordered = Value(named(name, "ordered"), f"{line.ordered.normalize():f}{unit}")
    bought: list[str | Value | Code] = []
    if line.in_hand:
        there = Value(named(name, "in hand"), f"{line.in_hand.normalize():f}{unit}")
        bought += [there, " in hand"] if line.all_in_hand else [there, " in hand; "]
    if not line.all_in_hand:
        bought += [f"{line.supplier}, ", Code(line.order_code)] if line.order_code else [line.supplier]
    return ordered, name, _where(line, source), tuple(bought), each, cost


def _where(line: BillLine, source: Source) -> Text:
    """Designators, or what else it is for."""
    if line.part.kind in ("bare board", "enclosure"):
        made = source.design.layout
        return source.board_size(made.board) if made else Value(named("board", "size assumed"), line.note)
    return listed(line.refs) or line.note or line.part.description
