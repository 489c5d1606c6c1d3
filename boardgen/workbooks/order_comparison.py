"""The sheets of an order that hold offers beside each other: suppliers part by part, and approved alternates."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal

from msgspec import Struct

from boardgen.purchasing.money import decimal_places, plain, price_text
from boardgen.purchasing.order import Alternate, Difference, Order, OrderLine, Quote
from boardgen.workbooks.cells import Content, Number
from boardgen.workbooks.entries import places_of, quantity_places
from boardgen.workbooks.sheet import Block, Column, Gap, Heading, Line, Row, Sheet, row_of


class _Compared(Struct, frozen=True):
    """An offer beside the others for a line; `first` of them is the one taken."""

    line: OrderLine
    quote: Quote
    first: bool


def suppliers_sheet(order: Order) -> Sheet:
    """A group a part, the taken offer first, then the others from the cheapest on, at the prices of the price files."""
    columns = _supplier_columns(order.currency)
    rows = [
        row_of(columns, _Compared(line, quote, number == 0), first=number == 0)
        for line in _once(order.lines)
        for number, quote in enumerate(_sorted(line.quotes))
    ]
    blocks: list[Block] = [
        Line(f"{order.title}: suppliers compared", "title"),
        Line(
            "What each supplier alone asks for as many as are wanted, before freight, fees and tax, at the prices of "
            "the price files. Entries on the sheets named Buy change nothing here.",
            "soft",
        ),
        Gap(),
        Heading(),
        *(rows or (Line("There is nothing to compare."),)),
    ]
    return Sheet("Suppliers", "Suppliers", columns, blocks)


def _supplier_columns(currency: str) -> tuple[Column[_Compared], ...]:
    def part(_: int, c: _Compared) -> str:
        names = {part.key: part.name for part in (c.line.part, *(one.wanted for one in c.line.instead_of))}
        return names.get(c.quote.part, c.quote.part) if c.first or c.quote.part != c.line.part.key else ""

    def unit_price(_: int, c: _Compared) -> Number:
        decimals = len(price_text(c.quote.unit_price, c.quote.currency).partition(".")[2])
        return Number(c.quote.unit_price, decimals)

    def lead_days(_: int, c: _Compared) -> Content:
        return _known(None if c.quote.lead_days is None else Decimal(c.quote.lead_days))

    def quantity(_: int, c: _Compared) -> Number:
        return Number(c.quote.quantity, quantity_places(c.line.unit))

    def line_total(_: int, c: _Compared) -> Number:
        return Number(c.quote.line_total, decimal_places(c.quote.currency))

    def converted(_: int, c: _Compared) -> Number:
        return Number(c.quote.in_order_currency, decimal_places(currency))

    return (
        Column("part", "Part", part),
        Column("supplier", "Supplier", lambda _, c: c.quote.supplier, widest=26),
        Column("taken", "Taken or not", lambda _, c: _verdict(c.line, c.quote, currency)),
        Column("order_code", "Order code", lambda _, c: c.quote.order_code, "code", 20),
        Column("quantity", "Quantity", quantity, "number"),
        Column("unit", "Unit", lambda _, c: c.line.unit),
        Column("unit_price", "Unit\nprice", unit_price, "number"),
        Column("line_total", "Total", line_total, "number"),
        Column("currency", "Currency", lambda _, c: c.quote.currency),
        Column("converted", f"The same\nin {currency}", converted, "number", 14),
        Column("lead_days", "Lead\ndays", lead_days, "number"),
        Column("stock", "In stock", lambda _, c: _known(c.quote.stock), "number"),
        Column("as_of", "Asked on", lambda _, c: c.quote.as_of.isoformat(), "code"),
        Column("source", "Source", lambda _, c: c.quote.source),
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


_NOT_STATED = "not stated"
_ALIKE = Difference("nothing that is stated", "", "")


class _Differing(Struct, frozen=True):
    """A difference between a part and an alternate, which the first of its differences names."""

    alternate: Alternate
    bought: bool
    difference: Difference
    first: bool


def _head(name: str, heading: str, said: Callable[[_Differing], str], widest: int) -> Column[_Differing]:
    """A column that says of an alternate what it is, on the first of its rows."""
    return Column(name, heading, lambda _, d: said(d) if d.first else "", widest=widest)


def _side(text: str, difference: Difference) -> str:
    """One side of a difference; blank where nothing differs."""
    return "" if difference == _ALIKE else text or _NOT_STATED


_ALTERNATE_COLUMNS: tuple[Column[_Differing], ...] = (
    _head("wanted", "Wanted", lambda d: d.alternate.wanted.name, 28),
    _head("alternate", "Approved alternate", lambda d: d.alternate.part.name, 28),
    _head("bought", "Bought", lambda d: "yes" if d.bought else "no", 10),
    Column("differs", "What differs", lambda _, d: d.difference.name, widest=26),
    Column("wanted_has", "Wanted has", lambda _, d: _side(d.difference.wanted, d.difference), widest=28),
    Column("alternate_has", "Alternate has", lambda _, d: _side(d.difference.alternate, d.difference), widest=28),
    _head("offer", "Best offer of the alternate", lambda d: _offer(d.alternate), 40),
    _head("source", "Approved by", lambda d: d.alternate.source, 28),
)


def alternates_sheet(order: Order) -> Sheet:
    """What may come in a part's place, and where the two differ: a group an alternate, a row a difference."""
    rows: list[Row] = []
    for alternate, bought in (pair for line in order.lines for pair in _of_line(line)):
        for number, difference in enumerate(alternate.differs or (_ALIKE,)):
            first = number == 0
            rows.append(row_of(_ALTERNATE_COLUMNS, _Differing(alternate, bought, difference, first), first=first))
    blocks: list[Block] = [
        Line(f"{order.title}: approved alternates", "title"),
        Line(
            "Buy an alternate only where it stands here; not stated means that no sheet of the maker says it.", "soft"
        ),
        Gap(),
        Heading(),
        *(rows or (Line("No alternate is approved: buy each part as it is named."),)),
    ]
    return Sheet("Alternates", "Alternates", _ALTERNATE_COLUMNS, blocks)


def _of_line(line: OrderLine) -> Iterator[tuple[Alternate, bool]]:
    """What the line's part stands in for, then the other alternates; the flag says whether the alternate is bought."""
    yield from ((alternate, True) for alternate in line.instead_of)
    yield from ((alternate, False) for alternate in line.alternates)


def _offer(alternate: Alternate) -> str:
    possible = sorted(
        (quote for quote in alternate.quotes if not quote.refused),
        key=lambda q: (not q.taken, q.in_order_currency, q.supplier, q.order_code),
    )
    if not possible:
        return "nobody offers it" if not alternate.quotes else alternate.quotes[0].refused
    best = possible[0]
    each = price_text(best.unit_price, best.currency)
    return f"{best.supplier}, {best.order_code}: {plain(best.quantity)} at {each} = {best.line_total} {best.currency}"
