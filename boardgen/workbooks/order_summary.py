"""The first sheet of an order: what is bought of whom, what it comes to, and how to use the workbook."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from boardgen.purchasing.money import decimal_places, plain
from boardgen.purchasing.order import Order, SupplierOrder, UnboughtLine
from boardgen.purchasing.quotes import issue, reference
from boardgen.workbooks.cells import Formula, Link, Number
from boardgen.workbooks.order_supplier import key, supplier_titles
from boardgen.workbooks.sheet import (
    Block,
    Column,
    Gap,
    Group,
    Heading,
    Line,
    Paragraph,
    Setting,
    Sheet,
    Total,
    or_gap,
    table,
)

_USE = (
    "Each sheet whose name begins with Buy is one order to one supplier. Order by the order code; the maker's number "
    "says which part must come.",
    "Boxed cells are yours: quantity, unit price, order code, lead days, and the supplier's terms below the lines. All "
    "totals follow. Everything else is locked, without a password.",
    "A unit price that has breaks follows its quantity, until you write another over it. Where you buy fewer, look "
    "whether the sheet Where used still has enough.",
    "Send the workbook back when prices and quantities are settled. Whoever gave it to you can have the program read "
    "it: what was entered is listed, and the costs are worked out anew.",
)


def summary_sheet(order: Order, short: Formula) -> Sheet:
    """The sheet. `short` counts the parts of which too few are bought."""
    columns, places = _columns(order), decimal_places(order.currency)
    total = Formula(f"=ROUND(SUM({{column[converted]}}),{places})", order.total, places)
    blocks: list[Block] = [
        Line(f"Order for {order.title}", "title"),
        Line(_subtitle(order), "soft"),
        Gap(),
        Heading(),
        *or_gap(table(columns, order.suppliers)),
        Total("whole_order", "Whole order", "converted", total, first=True, unit=order.currency),
        Total("short", "Parts of which too few are bought", "converted", short),
        *_boards(order),
        *_said("How it was chosen", _chosen(order)),
        *_said("Needed, but nobody sells it: in no total", _unbought(order)),
        *_said("To know", [problem.sentence for problem in order.problems]),
        *_said("How to use this workbook", _USE),
    ]
    return Sheet("Summary", "Summary", columns, blocks, {"Whole_order": "{whole_order}"})


def board_counts(order: Order) -> list[str]:
    """How formulas name the cells with the numbers of the boards; 0 for a list of parts."""
    return [f"{{Summary[boards{n}]}}" if board.boards else "0" for n, board in enumerate(order.boards, 1)]


def _columns(order: Order) -> tuple[Column[SupplierOrder], ...]:
    titles = supplier_titles(order)

    def amount(name: str, heading: str, widest: int = 30) -> Column[SupplierOrder]:
        def cell(n: int, supplier: SupplierOrder) -> Formula:
            return Formula(f"={{{key(n)}[{name}]}}", getattr(supplier, name), decimal_places(supplier.currency))

        return Column(name, heading, cell, "number", widest)

    def converted(n: int, supplier: SupplierOrder) -> Formula:
        name = "total" if supplier.currency == order.currency else "converted"
        return Formula(f"={{{key(n)}[{name}]}}", supplier.in_order_currency, decimal_places(order.currency))

    def lead_days(n: int, supplier: SupplierOrder) -> Formula:
        days = f"{{{key(n)}[column][lead_days]}}"
        known = "not known" if supplier.lead_days is None else Decimal(supplier.lead_days)
        return Formula(f'=IF(COUNT({days})=ROWS({days}),MAX({days}),"not known")', known)

    return (
        Column("supplier", "Supplier", lambda _, supplier: supplier.supplier),
        Column("lines", "Lines", lambda _, supplier: Number(Decimal(len(supplier.lines))), "number"),
        Column("currency", "Currency", lambda _, supplier: supplier.currency),
        amount("goods", "Goods"),
        amount("shipping", "Shipping"),
        amount("order_fee", "Order fee"),
        amount("tax", "Tax"),
        amount("total", "Total to pay", 14),
        Column("converted", f"The same\nin {order.currency}", converted, "number", 14),
        Column("lead_days", "Longest\nlead days", lead_days, "number"),
        Column("sheet", "Sheet", lambda n, _: Link(titles[n - 1]), widest=31),
        Column("why", "Why this supplier", lambda _, supplier: supplier.explanation, widest=44),
    )


def _subtitle(order: Order) -> str:
    said = [f"Reference {reference(order)}, issue {issue(order)}", f"totals in {order.currency}"]
    if order.on:
        said.append(f"order goes out on {order.on}")
    if order.by:
        said.append(f"all must be there by {order.by}")
    return "; ".join(said)


def _boards(order: Order) -> list[Block]:
    blocks: list[Block] = [Group("Boards that are bought for")]
    for number, board in enumerate(order.boards, 1):
        if board.boards:
            label = f"{board.title}, revision {board.revision}"
            blocks.append(Setting(f"boards{number}", label, Number(Decimal(board.boards))))
        else:
            blocks.append(Line(f"{board.title}, a list of parts"))
    return blocks


def _said(heading: str, sentences: Sequence[str]) -> list[Block]:
    return [Group(heading), *map(Paragraph, sentences)] if sentences else []


def _chosen(order: Order) -> list[str]:
    goal = "the least cost with freight, fees and tax" if order.goal == "least cost" else "as few parcels as can be"
    said = [f"Suppliers and quantities were chosen for {goal}."]
    alone, proof = order.line_by_line, order.proof
    if alone.total is not None:
        many = "1 supplier" if alone.suppliers == 1 else f"{alone.suppliers} suppliers"
        more = alone.total - order.total
        compared = (
            f"{more} {order.currency} more" if more > 0 else "no less" if not more else f"{-more} {order.currency} less"
        )
        said.append(
            f"Buying each line where it is cheapest by itself would cost {alone.total} {order.currency} from {many}: "
            f"{compared}."
        )
    elif alone.reason and alone.reason != proof.reason:
        said.append(f"Buying each line where it is cheapest by itself cannot be compared: {alone.reason}.")
    if not order.lines:
        said.append("Nothing is bought, so nothing is proven.")
    elif proof.optimal:
        unseen = f"; not looked at: {', '.join(order.left_out)}, without a rate" if order.left_out else ""
        said.append(f"It is proven that nothing cheaper can be had at the prices in the price files{unseen}.")
    elif proof.reason:
        said.append(f"It is not proven that nothing cheaper can be had: {proof.reason}.")
    return [*said, *(f"{reason}." for reason in order.reasons)]


def _unbought(order: Order) -> list[str]:
    return [f"{line.part.name}, {line.part.description}: {_quantity(line)}; {line.reason}." for line in order.unbought]


def _quantity(line: UnboughtLine) -> str:
    wanted = line.needed + line.spares - line.from_stock
    unit = line.unit if line.unit == "m" or wanted == 1 else f"{line.unit}s"
    return f"{plain(wanted)} {unit}"
