"""What is bought as tables of text: the bill, an order to one supplier, what is left in stock, and cost over quantity.

Amounts stand in the currency of their row's last column but where another column names it; a blank is not known.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from boardgen.formats.csv_text import csv_bytes, harmless
from boardgen.model.copper import Board
from boardgen.model.netlist import Netlist
from boardgen.model.part import Part
from boardgen.purchasing.bill import Bill, BillLine
from boardgen.purchasing.cost_over_quantity import CostPoint
from boardgen.purchasing.money import plain, price_text, rounded
from boardgen.purchasing.needs import NOT_BOUGHT
from boardgen.purchasing.notes import bill_note
from boardgen.purchasing.order import OrderLine, StockLine, SupplierOrder

BILL_COLUMNS = (
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


ASSEMBLY_COLUMNS = ("Comment", "Designator", "Footprint", "Quantity", "Manufacturer", "Manufacturer Part Number")


def bill_csv(bill: Bill) -> bytes:
    """bill.csv: a row a line of the bill, then three of totals, with only a description, a line cost and a currency."""
    lines = [_bill_row(number, line, bill.currency) for number, line in enumerate(bill.lines, 1)]
    sums = [("", "", "", label, *[""] * 10, amount, bill.currency, *[""] * 4) for label, amount in _totals(bill)]
    return csv_bytes(BILL_COLUMNS, [*lines, *sums])


def assembly_bill_csv(netlist: Netlist, board: Board | None) -> bytes:
    """assembly-bill.csv: what goes onto one board, a row a part and value, as assembly houses read it.

    Columns and designators separated by commas: common practice, no source. Places that stay empty are left out.
    Footprints are those that were laid out, where a board was.
    """
    laid = {} if board is None else {part.ref: part.footprint for part in board.parts}
    alike: dict[tuple[Part, str, str], list[str]] = {}
    for component in netlist.components:
        if component.fitted and component.part.footprint and component.part.maker not in NOT_BOUGHT:
            footprint = laid.get(component.ref, component.part.footprint)
            alike.setdefault((component.part, component.value, footprint), []).append(component.ref)
    rows = [
        (harmless(value), ",".join(refs), footprint, str(len(refs)), harmless(part.maker), harmless(part.number))
        for (part, value, footprint), refs in alike.items()
    ]
    return csv_bytes(ASSEMBLY_COLUMNS, rows)


def _totals(bill: Bill) -> tuple[tuple[str, Decimal], ...]:
    """The three totals with what they are of."""
    boards = "1 board" if bill.boards == 1 else f"{bill.boards} boards"
    left_out = f", {len(bill.unpriced)} without a price left out" if bill.unpriced else ""
    return (
        (f"Order for {boards}{left_out}", bill.order_total),
        ("Order per board", bill.total_per_board),
        ("Parts in one board", bill.board_value),
    )


def _bill_row(number: int, line: BillLine, currency: str) -> tuple[str, ...]:
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
        "" if line.line_cost is None else str(rounded(line.line_cost, currency)),
        "" if price is None else currency,
        "" if line.lead_days is None else str(line.lead_days),
        "" if line.as_of is None else line.as_of.isoformat(),
        part.standing,
        harmless(bill_note(line)),
    )


SUPPLIER_COLUMNS = (
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


def supplier_csv(order: SupplierOrder) -> bytes:
    """The order to one supplier, for upload: a row a line; `reference` names the boards that the part is for."""
    return csv_bytes(SUPPLIER_COLUMNS, [_supplier_row(line, order.currency) for line in order.lines])


def _supplier_row(line: OrderLine, currency: str) -> tuple[str, ...]:
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


STOCK_COLUMNS = ("part", "quantity", "note")


def stock_csv(stock: Sequence[StockLine]) -> bytes:
    """What is left of each part, in the form in which the next order reads its stock; nothing of what is used up."""
    rows = [(harmless(line.key), plain(line.left), harmless(line.note)) for line in stock if line.left > 0]
    return csv_bytes(STOCK_COLUMNS, rows)


COST_COLUMNS = (
    "boards",
    "cost_per_board",
    "total",
    "goods",
    "beside_goods",
    "suppliers",
    "line_by_line",
    "proven",
    "why",
    "currency",
)


def cost_csv(points: Sequence[CostPoint], currency: str) -> bytes:
    """The cost of a board over the number of boards: a row a number.

    `beside_goods` is freight, fees and tax; `line_by_line` what a board would cost if each line were bought where it
    is cheapest, blank where that cannot be done.
    """
    return csv_bytes(COST_COLUMNS, [_cost_row(point, currency) for point in points])


def _cost_row(point: CostPoint, currency: str) -> tuple[str, ...]:
    return (
        str(point.boards),
        str(point.per_board),
        str(point.total),
        str(point.goods),
        str(point.beside_goods),
        str(point.suppliers),
        "" if point.line_by_line is None else str(point.line_by_line),
        "yes" if point.optimal else "no",
        harmless("; ".join(point.causes)),
        currency,
    )
