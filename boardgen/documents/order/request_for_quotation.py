"""A request for quotation: what is wanted, without anybody's prices, to be printed or sent as a page or as text."""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.documents.page.blocks import Column, Page, Section, Table, Terms, Ticks, Words
from boardgen.documents.page.render import Paper, render
from boardgen.documents.page.spelling import Spelling
from boardgen.purchasing.money import plain
from boardgen.purchasing.order import Order
from boardgen.purchasing.quotation import Wanted, wanted

ASKED = (
    "unit price in your currency, at the quantity wanted and at your next price breaks",
    "least quantity and multiple you sell",
    "how many you have, and days to delivery of the rest",
    "freight, fees and tax for the whole order, and how long your offer holds",
)
TO_FILL = "\N{NO-BREAK SPACE}" * 18
"""Room for an answer by hand."""
_DO = "Quote the parts below. Offer another part only as a line of its own, and say in what it differs."


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
    lines = wanted(order)
    rows = [(str(n), w.part.name, w.words, _quantity(w), TO_FILL, TO_FILL, TO_FILL[:6]) for n, w in enumerate(lines, 1)]
    names = {order.title, *(text for w in lines for text in (w.part.name, w.part.number))}
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
    for number, each in enumerate(wanted(order), 1):
        yield f"{number:3}. {_quantity(each)}: {each.part.name}"
        yield f"     {each.words}"
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


def _quantity(wanted: Wanted) -> str:
    return f"{plain(wanted.quantity)} m" if wanted.unit == "m" else plain(wanted.quantity)
