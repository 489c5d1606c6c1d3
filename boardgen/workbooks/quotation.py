"""request-for-quotation.xlsx: what is wanted, for a supplier to fill in; filled in, it is a price table."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from msgspec import Struct

from boardgen.purchasing.order import Order
from boardgen.purchasing.quotation import HEADINGS, SETTINGS, Wanted, wanted
from boardgen.purchasing.quotes import issue
from boardgen.workbooks.cells import Content, Entry, Number, TextEntry
from boardgen.workbooks.entries import LEAD, ORDER_CODE, SUPPLIER, TERM_ENTRIES, quantity_places
from boardgen.workbooks.sheet import Block, Book, Column, Gap, Heading, Line, Setting, Sheet, row_of
from boardgen.workbooks.write import workbook_file

NAME = "request-for-quotation.xlsx"
_FROM = Entry("From how many", "The price beside it holds from this quantity on. Change it to a step of yours.")
_PRICE = Entry("Unit price", "The price of one piece or metre from this quantity on, before tax; blank for no offer.")
_LEAST = Entry("Least sold", "The least that you sell; blank for 1.")
_STEPS = Entry("Sold in steps of", "What every quantity is a multiple of; blank for 1.")
_STOCK = Entry("In stock", "How many you have; blank where you do not say.")
_REMARK = Entry("Remark", "Anything; another part that you offer, and in what it differs.", None)
_ONCE = {
    "supplier": SUPPLIER,
    "currency": Entry("Currency", "Three capital letters, such as CAD.", None),
    "as_of": Entry("Day", "Year-month-day, such as 2026-12-01.", None),
    "until": Entry("Holds until", "Year-month-day; blank where you do not say.", None),
}


class _Asked(Struct, frozen=True):
    """A part at one of the quantities that are asked for."""

    wanted: Wanted
    quantity: Decimal
    first: bool


def quotation_workbook(order: Order, paper: str) -> bytes:
    """The workbook as a file."""
    asked = [
        row_of(_COLUMNS, _Asked(each, quantity, n == 0), first=n == 0)
        for each in wanted(order)
        for n, quantity in enumerate(each.quantities)
    ]
    day = f"Asked on {order.on}. " if order.on else ""
    by = f"Wanted by {order.by}. " if order.by else ""
    blocks: list[Block] = [
        Line(f"Request for quotation: {order.title}", "title"),
        Line(f"Reference {issue(order)}. {day}{by}Prices preferably in {order.currency}, before tax.", "soft"),
        Line("Fill in the boxed cells and send the workbook back. This asks for an offer and orders nothing.", "soft"),
        Line("In the further rows of a part, what is left blank beside the price is as in its first row.", "soft"),
        *(Setting(name, label, _once(name)) for name, label in SETTINGS.items()),
        Gap(),
        Heading(),
        *asked,
    ]
    sheet = Sheet("Quotation", "Quotation", _COLUMNS, blocks)
    mark = f"reference {issue(order)}"
    return workbook_file(Book(f"Request for quotation: {order.title}", mark, order.title, mark, paper, (sheet,)))


def _once(name: str) -> Content:
    return TextEntry("", _ONCE[name]) if name in _ONCE else Number(None, 2, TERM_ENTRIES[name])


def _column(name: str, cell: Callable[[_Asked], Content], *, number: bool = False, widest: int = 30) -> Column[_Asked]:
    return Column(name, HEADINGS[name], lambda _, asked: cell(asked), "number" if number else "text", widest)


def _blank(name: str, entry: Entry, places: int = 0) -> Column[_Asked]:
    """A column for numbers that the supplier enters."""
    return _column(name, lambda _: Number(None, places, entry), number=True)


_COLUMNS: tuple[Column[_Asked], ...] = (
    Column("part", HEADINGS["part"], lambda _, asked: asked.wanted.part.key, "code", 26),
    _column("name", lambda asked: asked.wanted.part.name if asked.first else "", widest=30),
    _column("description", lambda asked: asked.wanted.words if asked.first else "", widest=36),
    _column("quantity", lambda asked: Number(asked.quantity, quantity_places(asked.wanted.unit), _FROM), number=True),
    _column("unit", lambda asked: asked.wanted.unit),
    _blank("unit_price", _PRICE, 4),
    Column("order_code", HEADINGS["order_code"], lambda _, _asked: TextEntry("", ORDER_CODE), "code", 20, 18),
    _blank("minimum", _LEAST),
    _blank("multiple", _STEPS),
    _blank("stock", _STOCK),
    _blank("lead_days", LEAD),
    Column("remark", HEADINGS["remark"], lambda _, _asked: TextEntry("", _REMARK), widest=24, room=24),
)
