"""The sheet that holds the suppliers beside each other, part by part, at the prices the order was chosen from."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from openpyxl.worksheet.worksheet import Worksheet

from boardgen.purchasing.money import decimal_places, price_text
from boardgen.purchasing.order import Order, OrderLine, Quote
from boardgen.workbooks import style
from boardgen.workbooks.amounts import places_of, quantity_places
from boardgen.workbooks.cells import Content, Number
from boardgen.workbooks.sheet import Sheet

NAME = "Suppliers"


def comparison_sheet(worksheet: Worksheet, order: Order, mark: str) -> Sheet:
    """Writes the sheet: a group a part, the taken offer first, then the others from the cheapest on."""
    sheet = Sheet(worksheet, _columns(order.currency))
    sheet.line(f"{order.title}: suppliers compared", style.TITLE)
    sheet.line(
        "What each supplier alone asks for as many as are wanted, before freight, fees and tax, at the prices of the "
        "price files. Entries on the sheets named Buy change nothing here.",
        style.SOFT,
    )
    sheet.next_row += 1
    sheet.heading()
    for line in _once(order.lines):
        for number, quote in enumerate(_sorted(line.quotes)):
            _quote(sheet, line, quote, order, first=number == 0)
    if not any(line.quotes for line in order.lines):
        sheet.line("There is nothing to compare.")
    sheet.finish(order.title, mark)
    return sheet


def _columns(currency: str) -> tuple[style.Column, ...]:
    return (
        style.Column("Part", widest=30),
        style.Column("Supplier", widest=26),
        style.Column("Taken or not", widest=30),
        style.Column("Order code", "code", 20),
        style.Column("Quantity", "number"),
        style.Column("Unit"),
        style.Column("Unit\nprice", "number"),
        style.Column("Total", "number"),
        style.Column("Currency"),
        style.Column(f"The same\nin {currency}", "number", 14),
        style.Column("Lead\ndays", "number"),
        style.Column("In stock", "number"),
        style.Column("Asked on", "code"),
        style.Column("Source", widest=30),
    )


def _once(lines: Sequence[OrderLine]) -> Iterator[OrderLine]:
    """Of a part that is on several lines the first that has quotes."""
    seen: set[str] = set()
    for line in lines:
        if line.quotes and line.part.key not in seen:
            seen.add(line.part.key)
            yield line


def _sorted(quotes: Sequence[Quote]) -> list[Quote]:
    return sorted(quotes, key=lambda q: (not q.taken, bool(q.refused), q.in_order_currency, q.supplier, q.order_code))


def _quote(sheet: Sheet, line: OrderLine, quote: Quote, order: Order, *, first: bool) -> None:
    names = {part.key: part.name for part in (line.part, *line.instead_of)}
    name = names.get(quote.part, quote.part)
    places = decimal_places(quote.currency)
    sheet.row(
        (
            name if first or quote.part != line.part.key else "",
            quote.supplier,
            _verdict(line, quote, order.currency),
            quote.order_code,
            Number(quote.quantity, quantity_places(line.unit)),
            line.unit,
            Number(quote.unit_price, len(price_text(quote.unit_price, quote.currency).partition(".")[2])),
            Number(quote.line_total, places),
            quote.currency,
            Number(quote.in_order_currency, decimal_places(order.currency)),
            _known(None if quote.lead_days is None else Decimal(quote.lead_days)),
            _known(quote.stock),
            quote.as_of.isoformat(),
            quote.source,
        ),
        first_of_group=first,
    )


def _known(value: Decimal | None) -> Content:
    return "not known" if value is None else Number(value, places_of(value))


def _verdict(line: OrderLine, quote: Quote, currency: str) -> str:
    if quote.taken:
        return f"taken; {line.passed_over}" if line.passed_over else "taken"
    if quote.refused:
        return quote.refused
    taken = [q.in_order_currency for q in line.quotes if q.taken]
    if len(taken) != 1:
        return "not taken"
    more = quote.in_order_currency - taken[0]
    if not more:
        return "costs the same"
    return f"{more} {currency} more" if more > 0 else f"{-more} {currency} less, before freight"
