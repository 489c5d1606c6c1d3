"""A request for quotation: what is wanted, without anybody's prices, to be printed or sent as a page or as text."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from msgspec import Struct

from boardgen.documents.page.blocks import Column, Page, Section, Table, Terms, Ticks, Words
from boardgen.documents.page.render import Paper, render
from boardgen.documents.page.spelling import Spelling
from boardgen.model.part import Part
from boardgen.purchasing.money import plain
from boardgen.purchasing.order import Order

ASKED = (
    "unit price in your currency, at the quantity wanted and at your next price breaks",
    "least quantity and multiple you sell",
    "how many you have, and days to delivery of the rest",
    "freight, fees and tax for the whole order, and how long your offer holds",
)
TO_FILL = "\N{NO-BREAK SPACE}" * 18
"""Room for an answer by hand."""
_DO = "Quote the parts below. Offer another part only as a line of its own, and say in what it differs."


class _Wanted(Struct, frozen=True):
    part: Part
    quantity: Decimal
    unit: str
    note: str


def request_page(order: Order, paper: Paper = "A4") -> bytes:
    """The request as a page."""
    columns = (
        Column("line", "number"),
        Column("part"),
        Column("what it is"),
        Column("quantity", "number", narrow=True),
        Column("your order code", narrow=True),
        Column("unit price", narrow=True),
        Column("days", narrow=True),
    )
    wanted = _wanted(order)
    rows = [
        (str(n), w.part.name, _words(w), _quantity(w), TO_FILL, TO_FILL, TO_FILL[:6]) for n, w in enumerate(wanted, 1)
    ]
    names = {order.title, *(text for w in wanted for text in (w.part.name, w.part.number))}
    page = Page(
        f"Request for quotation: {order.title}",
        _subtitle(order),
        (
            Section("parts", "What is wanted", _DO, (Table(_caption(len(rows)), columns, rows),)),
            Section(
                "answer", "What to answer", "State for each line, and once for the whole:",
                (Ticks(ASKED), Terms((("supplier", ""), ("name", ""), ("day", ""), ("offer holds until", "")))),
            ),
            Section("not-yet", "No order yet", "Send nothing on this request.", (Words(_NO_ORDER),)),
        ),
        f"Request for quotation: {order.title}",
        tuple(sorted(names)),
    )  # fmt: skip
    return render(page, Spelling(own_words=page.own_words), paper)


_NO_ORDER = "This asks for an offer and orders nothing. An order follows in writing, with the quantities wanted then."


def request_text(order: Order) -> bytes:
    """The request as plain text, for a letter."""
    return ("\n".join(_lines(order)) + "\n").encode()


def _lines(order: Order) -> Iterator[str]:
    yield f"Request for quotation: {order.title}"
    yield _subtitle(order)
    yield ""
    yield _DO
    yield ""
    for number, wanted in enumerate(_wanted(order), 1):
        yield f"{number:3}. {_quantity(wanted)}: {wanted.part.name}"
        yield f"     {_words(wanted)}"
    yield ""
    yield "Please state for each line, and once for the whole:"
    yield from (f"  - {asked}" for asked in ASKED)
    yield ""
    yield _NO_ORDER


def _subtitle(order: Order) -> str:
    day = f"Asked on {order.on}. " if order.on else ""
    by = f"Wanted by {order.by}. " if order.by else ""
    return f"{day}{by}Prices preferably in {order.currency}."


def _caption(lines: int) -> str:
    return f"{'1 line' if lines == 1 else f'{lines} lines'}, pieces where no unit is given"


def _quantity(wanted: _Wanted) -> str:
    return f"{plain(wanted.quantity)} m" if wanted.unit == "m" else plain(wanted.quantity)


def _words(wanted: _Wanted) -> str:
    value = wanted.part.value
    words = wanted.part.description
    if value and value not in words:
        words = f"{words}, {value}"
    return f"{words}; {wanted.note}" if wanted.part.kind == "bare board" and wanted.note else words


def _wanted(order: Order) -> list[_Wanted]:
    """What is to be bought of each part, before anybody's multiples; then what nobody sells yet."""
    found: dict[str, _Wanted] = {}
    for line in order.lines:
        quantity = line.needed + line.spares - line.from_stock
        before = found.get(line.part.key)
        more = before.quantity if before else Decimal(0)
        found[line.part.key] = _Wanted(line.part, quantity + more, line.unit, line.note)
    for unbought in order.unbought:
        quantity = unbought.needed + unbought.spares - unbought.from_stock
        found[unbought.part.key] = _Wanted(unbought.part, quantity, unbought.unit, unbought.note)
    return list(found.values())
