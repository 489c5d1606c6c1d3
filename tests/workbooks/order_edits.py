"""Edits that a person makes in the workbook of an order, made with openpyxl, and what the program makes of them."""

import io
from collections.abc import Callable, Mapping
from decimal import Decimal
from functools import cache

import openpyxl
from openpyxl import Workbook
from openpyxl.cell import Cell
from openpyxl.worksheet.worksheet import Worksheet

from boardgen.purchasing.order import Order
from boardgen.purchasing.quotes import SupplierQuote
from boardgen.workbooks.order import write_order
from boardgen.workbooks.read_order import read_order
from tests.workbooks.made_order import made_content

FIRST, YEN, DOLLARS = "Buy @Supplier", "Buy OBrien & Sons parts a b c w", "Buy OBrien & Sons parts a b c 2"


@cache
def written() -> bytes:
    return write_order(made_content())


def opened(data: bytes | None = None) -> Workbook:
    return openpyxl.load_workbook(io.BytesIO(data or written()))


def saved(book: Workbook) -> bytes:
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def edited(*edits: Callable[[Workbook], object]) -> bytes:
    book = opened()
    for edit in edits:
        edit(book)
    return saved(book)


def put(sheet: str, address: str, value: object) -> Callable[[Workbook], None]:
    def edit(book: Workbook) -> None:
        book[sheet][address] = value

    return edit


def read(data: bytes) -> tuple[SupplierQuote, ...]:
    return read_order(data, "back.xlsx", made_content().order, stay).quotes


def stay(order: Order, to: Mapping[int, str]) -> Order:
    """Moves no line: each is where it was chosen."""
    names = {line.position: supplier.supplier for supplier, _, line in order.as_chosen}
    assert dict(to).items() <= names.items()
    return order


def heading_row(sheet: Worksheet) -> int:
    return next(cell.row for cell in sheet["A"] if cell.value == "Line")


def beside(sheet: Worksheet, label: str) -> Cell:
    """The cell to the right of the one label."""
    (cell,) = [cell for row in sheet.iter_rows() for cell in row if cell.value == label]
    return cell.offset(column=1)


def figures(order: Order) -> dict[tuple[str, str], Decimal]:
    """The totals of an order by sheet and label, as the program has them."""
    found = {("Summary", "Whole order"): order.total}
    for name, supplier in zip((FIRST, YEN, DOLLARS), order.suppliers, strict=True):
        found |= {
            (name, "Goods"): supplier.goods,
            (name, "Shipping"): supplier.shipping,
            (name, "Order fee"): supplier.order_fee,
            (name, "Tax"): supplier.tax,
            (name, "Total to pay"): supplier.total,
        }
        if supplier.currency != order.currency:
            found[name, "The same"] = supplier.in_order_currency
    return found


def edit_many(book: Workbook) -> None:
    """Prices whose lines end in exactly half a cent, a quantity of nothing, new terms and a new rate."""
    first, dollars, yen = book[FIRST], book[DOLLARS], book[YEN]
    row = heading_row(first) + 1
    first[f"F{row}"], first[f"I{row}"] = 1357, 446.205
    first[f"F{row + 1}"], first[f"I{row + 1}"], first[f"K{row + 1}"] = 5, 0.335, 9
    beside(first, "Shipping, CAD, enter").value = 7.25
    beside(first, "Tax on goods, shipping and fee, %, enter").value = 14.975
    row = heading_row(dollars) + 1
    dollars[f"B{row}"], dollars[f"F{row}"], dollars[f"I{row}"] = 4711, 96.5, 490.075
    dollars[f"F{row + 1}"] = 0
    beside(dollars, "Shipping is free for goods from, USD, enter").value = None
    beside(dollars, "One USD in CAD, enter").value = 1.40005
    row = heading_row(yen) + 1
    yen[f"F{row}"], yen[f"I{row}"], yen[f"K{row}"] = 1795, 137.7, None
