"""The first sheet of an order: what is bought of whom, what it comes to, and how to use the workbook."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from msgspec import Struct
from openpyxl.worksheet.worksheet import Worksheet

from boardgen.purchasing.money import decimal_places, plain
from boardgen.purchasing.order import Order, SupplierOrder, UnboughtLine
from boardgen.workbooks import style
from boardgen.workbooks.cells import Formula, Number
from boardgen.workbooks.order_supplier import BuySheet
from boardgen.workbooks.sheet import Sheet

NAME = "Summary"
_TOTAL_COLUMN = 8
_USE = (
    "Each sheet whose name begins with Buy is one order to one supplier. Order by the order code; the maker's number "
    "says which part must come.",
    "Boxed cells are yours: quantity, unit price, order code, lead days, and the supplier's terms below the lines. All "
    "totals follow. Everything else is locked, without a password.",
    "A unit price does not follow its quantity. Where you change a quantity, look whether the price changes too, and "
    "whether the sheet Where used still has enough.",
    "Send the workbook back when prices and quantities are settled. Whoever gave it to you can have the program read "
    "it: what was entered is listed, and the costs are worked out anew.",
)


class SummarySheet(Struct, frozen=True):
    """The sheet and the cells with the number of each kind of board."""

    sheet: Sheet
    boards: tuple[str, ...]


def summary_sheet(
    worksheet: Worksheet, order: Order, reference: str, buys: Sequence[BuySheet], short: Formula, mark: str
) -> SummarySheet:
    """Writes the sheet. `short` counts the parts of which too few are bought."""
    sheet = Sheet(worksheet, _columns(order.currency))
    sheet.line(f"Order for {order.title}", style.TITLE)
    sheet.line(_subtitle(order, reference), style.SOFT)
    sheet.next_row += 1
    sheet.heading()
    first = sheet.next_row
    for supplier, buy in zip(order.suppliers, buys, strict=True):
        _supplier(sheet, supplier, buy, order)
    _totals(sheet, order, first, short)
    boards = _boards(sheet, order)
    _said(sheet, "How it was chosen", _chosen(order))
    _said(sheet, "Needed, but nobody sells it: in no total", _unbought(order))
    _said(sheet, "To know", [problem.sentence for problem in order.problems])
    _said(sheet, "How to use this workbook", _USE)
    sheet.finish(order.title, mark)
    return SummarySheet(sheet, boards)


def _columns(currency: str) -> tuple[style.Column, ...]:
    return (
        style.Column("Supplier", widest=30),
        style.Column("Lines", "number"),
        style.Column("Currency"),
        style.Column("Goods", "number"),
        style.Column("Shipping", "number"),
        style.Column("Order fee", "number"),
        style.Column("Tax", "number"),
        style.Column("Total to pay", "number", 14),
        style.Column(f"The same\nin {currency}", "number", 14),
        style.Column("Longest\nlead days", "number"),
        style.Column("Sheet", widest=31),
        style.Column("Why this supplier", widest=44),
    )


def _subtitle(order: Order, reference: str) -> str:
    said = [f"Reference {reference}", f"totals in {order.currency}"]
    if order.on:
        said.append(f"order goes out on {order.on}")
    if order.by:
        said.append(f"all must be there by {order.by}")
    return "; ".join(said)


def _supplier(sheet: Sheet, supplier: SupplierOrder, buy: BuySheet, order: Order) -> None:
    places, row = decimal_places(supplier.currency), sheet.next_row
    amounts = (
        Formula(f"={buy.sums[name]}", getattr(supplier, name), places)
        for name in ("goods", "shipping", "order_fee", "tax", "total")
    )
    lead = buy.leads
    days = Formula(
        f'=IF(COUNT({lead})=ROWS({lead}),MAX({lead}),"not known")',
        "not known" if supplier.lead_days is None else Decimal(supplier.lead_days),
    )
    sheet.row(
        (
            supplier.supplier,
            Number(Decimal(len(supplier.lines))),
            supplier.currency,
            *amounts,
            Formula(f"={buy.sums['converted']}", supplier.in_order_currency, decimal_places(order.currency)),
            days,
            buy.name,
            supplier.explanation,
        )
    )
    sheet.link(row, 11, buy.name)


def _totals(sheet: Sheet, order: Order, first: int, short: Formula) -> None:
    last, places = max(first, sheet.next_row - 1), decimal_places(order.currency)
    total = Formula(f"=ROUND(SUM(I{first}:I{last}),{places})", order.total, places)
    sheet.call("Whole_order", sheet.total("Whole order", _TOTAL_COLUMN + 1, total, first=True, unit=order.currency))
    sheet.total("Parts of which too few are bought", _TOTAL_COLUMN + 1, short)


def _boards(sheet: Sheet, order: Order) -> tuple[str, ...]:
    """The list of boards; returns the cells with their numbers."""
    sheet.group("Boards that are bought for")
    cells = []
    for board in order.boards:
        if board.boards:
            cell = sheet.setting(f"{board.title}, revision {board.revision}", Number(Decimal(board.boards)))
            cells.append(f"{NAME}!{cell}")
        else:
            sheet.line(f"{board.title}, a list of parts")
            cells.append("0")
    return tuple(cells)


def _said(sheet: Sheet, heading: str, sentences: Sequence[str]) -> None:
    if sentences:
        sheet.group(heading)
    for sentence in sentences:
        sheet.paragraph(sentence)


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
    if proof.optimal:
        said.append("It is proven that nothing cheaper can be had at the prices in the price files.")
    elif proof.reason:
        said.append(f"It is not proven that nothing cheaper can be had: {proof.reason}.")
    return [*said, *(f"{reason}." for reason in order.reasons)]


def _unbought(order: Order) -> list[str]:
    return [f"{line.part.name}, {line.part.description}: {_quantity(line)}; {line.reason}." for line in order.unbought]


def _quantity(line: UnboughtLine) -> str:
    wanted = line.needed + line.spares - line.from_stock
    unit = line.unit if line.unit == "m" or wanted == 1 else f"{line.unit}s"
    return f"{plain(wanted)} {unit}"
