"""An order with prices and quantities as a buyer or a supplier entered them: its costs, and what changed."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from boardgen.model.part import Part
from boardgen.model.problem import Place, Problem
from boardgen.purchasing.money import plain, rounded
from boardgen.purchasing.order import (
    Naive,
    Order,
    OrderLine,
    Proof,
    StockLine,
    SupplierOrder,
    SupplierTerms,
)
from boardgen.purchasing.part_name import part_name

BY_HAND = "quantities or prices were entered by hand after the choice"


@dataclass(frozen=True, slots=True)
class LineQuote:
    """What may be entered in a line."""

    order_code: str
    quantity: Decimal
    unit_price: Decimal
    lead_days: int | None


@dataclass(frozen=True, slots=True)
class SupplierQuote:
    """What may be entered of one supplier: his terms, his currency's rate, and his lines in their order.

    Amounts are in his currency; None where there is no such limit.
    """

    shipping: Decimal
    free_from: Decimal | None
    order_fee: Decimal
    tax_percent: Decimal
    minimum_order: Decimal | None
    rate: Decimal
    lines: tuple[LineQuote, ...]


@dataclass(frozen=True, slots=True)
class Change:
    """One entry that is not as it was, as text; `line` counts from 1 and is None, as `part`, for a supplier's terms."""

    supplier: str
    line: int | None
    part: Part | None
    what: str
    before: str
    after: str


def reference(order: Order) -> str:
    """A short name for the order, the same for the same parts from the same suppliers, whatever they cost."""
    pieces = [order.title, order.currency]
    for supplier in order.suppliers:
        pieces += [supplier.supplier, supplier.currency, *(f"{line.part.key} {line.unit}" for line in supplier.lines)]
    digest = hashlib.sha256("\n".join(pieces).encode("utf-8", "replace")).hexdigest()
    return f"{digest[:4]}-{digest[4:8]}-{digest[8:12]}"


def quote_of(supplier: SupplierOrder) -> SupplierQuote:
    """What the order itself says."""
    terms = supplier.terms
    return SupplierQuote(
        terms.shipping,
        terms.free_from,
        terms.order_fee,
        terms.tax_percent,
        terms.minimum_order,
        supplier.rate,
        tuple(LineQuote(x.order_code, x.quantity, x.unit_price, x.lead_days) for x in supplier.lines),
    )


def changes(order: Order, quotes: Sequence[SupplierQuote]) -> tuple[Change, ...]:
    """What the quotes, one a supplier, say otherwise than the order."""
    found: list[Change] = []
    for supplier, quote in zip(order.suppliers, quotes, strict=True):
        for n, (line, entered) in enumerate(zip(supplier.lines, quote.lines, strict=True), 1):
            found += [Change(supplier.supplier, n, line.part, *change) for change in _line_changes(line, entered)]
        found += [Change(supplier.supplier, None, None, *change) for change in _terms_changes(supplier, quote)]
    return tuple(found)


def requoted(order: Order, quotes: Sequence[SupplierQuote], source: str) -> Order:
    """The order at these quotes, one a supplier; `source` says where they were entered."""
    if not changes(order, quotes):
        return order
    suppliers = tuple(_supplier(order, s, q, source) for s, q in zip(order.suppliers, quotes, strict=True))
    lines = [line for supplier in suppliers for line in supplier.lines]
    total = sum((s.in_order_currency for s in suppliers), rounded(Decimal(), order.currency))
    stock = tuple(_stock(line, lines) for line in order.stock)

    def converted(name: str) -> Decimal:
        amounts = (rounded(getattr(s, name) * s.rate, order.currency) for s in suppliers)
        return sum(amounts, rounded(Decimal(), order.currency))

    return replace(
        order,
        suppliers=suppliers,
        stock=stock,
        goods=converted("goods"),
        shipping=converted("shipping"),
        order_fees=converted("order_fee"),
        tax=converted("tax"),
        total=total,
        naive=Naive(None, 0, BY_HAND),
        proof=Proof(optimal=False, bound=rounded(Decimal(), order.currency), gap=total, reason=BY_HAND),
        problems=(*order.problems, *_problems(suppliers), *_short(lines)),
    )


def paid(currency: str, terms: SupplierTerms, goods: Decimal) -> tuple[Decimal, Decimal, Decimal, Decimal]:
    """Shipping, order fee, tax and total for so many goods; nothing at all where nothing is bought."""
    nothing = rounded(Decimal(), currency)
    if not goods:
        return nothing, nothing, nothing, nothing
    free = terms.free_from is not None and goods >= terms.free_from
    shipping = nothing if free else rounded(terms.shipping, currency)
    fee = rounded(terms.order_fee, currency)
    tax = rounded((goods + shipping + fee) * terms.tax_percent / 100, currency)
    return shipping, fee, tax, goods + shipping + fee + tax


def _supplier(order: Order, supplier: SupplierOrder, quote: SupplierQuote, source: str) -> SupplierOrder:
    currency = supplier.currency
    lines = tuple(
        _line(order, supplier, line, entered, source) for line, entered in zip(supplier.lines, quote.lines, strict=True)
    )
    goods = sum((line.line_total for line in lines), rounded(Decimal(), currency))
    terms = _terms(supplier, quote, source)
    shipping, fee, tax, total = paid(currency, terms, goods)
    leads = [line.lead_days for line in lines if line.quantity]
    return replace(
        supplier,
        rate=quote.rate,
        terms=terms,
        lines=lines,
        goods=goods,
        shipping=shipping,
        order_fee=fee,
        tax=tax,
        total=total,
        in_order_currency=rounded(total * quote.rate, order.currency),
        lead_days=None if None in leads or not leads else max(days for days in leads if days is not None),
    )


def _terms(supplier: SupplierOrder, quote: SupplierQuote, source: str) -> SupplierTerms:
    before = supplier.terms
    after = replace(
        before,
        shipping=quote.shipping,
        free_from=quote.free_from,
        order_fee=quote.order_fee,
        tax_percent=quote.tax_percent,
        minimum_order=quote.minimum_order,
    )
    return before if after == before else replace(after, source=source, invented=False, known=True)


def _line(order: Order, supplier: SupplierOrder, line: OrderLine, entered: LineQuote, source: str) -> OrderLine:
    if not list(_line_changes(line, entered)):
        return line
    priced = entered.unit_price != line.unit_price
    return replace(
        line,
        order_code=entered.order_code,
        quantity=entered.quantity,
        unit_price=entered.unit_price,
        line_total=rounded(entered.quantity * entered.unit_price, supplier.currency),
        lead_days=entered.lead_days,
        source=source if priced else line.source,
        invented=line.invented and not priced,
        as_of=order.on or line.as_of if priced else line.as_of,
        explanation="" if priced or entered.quantity != line.quantity else line.explanation,
    )


def _stock(stock: StockLine, lines: Sequence[OrderLine]) -> StockLine:
    bought = sum((line.quantity for line in lines if line.part.key == stock.key), Decimal())
    return replace(stock, bought=bought, left=max(Decimal(), stock.before + bought - stock.used))


def _problems(suppliers: Sequence[SupplierOrder]) -> Iterator[Problem]:
    for supplier in suppliers:
        name, least = supplier.supplier, supplier.terms.minimum_order
        for number, line in enumerate(supplier.lines, 1):
            where = f"{name}, line {number}, {part_name(line.part)}"
            if line.quantity and line.quantity < line.minimum:
                yield _warning(line, f"{where}: {plain(line.quantity)} are bought, the least was {plain(line.minimum)}")
            elif line.quantity % line.multiple:
                yield _warning(line, f"{where}: {plain(line.quantity)} is no multiple of {plain(line.multiple)}")
        if least and 0 < supplier.goods < least:
            found = f"{name}: goods for {supplier.goods} {supplier.currency} are less than the least order of {least}"
            yield Problem("quote-small", "shortfall", Place(key=name), found, "", "Buy more there, or elsewhere")


def _warning(line: OrderLine, found: str) -> Problem:
    return Problem("quote-multiple", "warning", Place(key=line.part.key), found, "", "Ask whether it can be had so")


def _short(lines: Sequence[OrderLine]) -> Iterator[Problem]:
    """A shortfall for each part of which less is bought than the boards need and the stock gives."""
    for key in dict.fromkeys(line.part.key for line in lines):
        same = [line for line in lines if line.part.key == key]
        over = sum((x.quantity + x.from_stock - x.needed for x in same), Decimal())
        if over < 0:
            found = f"{part_name(same[0].part)}: {plain(-over)} short of what the boards need"
            yield Problem("quote-short", "shortfall", Place(key=key), found, "", "Buy more, or build fewer boards")


def _line_changes(line: OrderLine, entered: LineQuote) -> Iterator[tuple[str, str, str]]:
    if entered.order_code != line.order_code:
        yield "order code", line.order_code, entered.order_code
    if entered.quantity != line.quantity:
        yield f"quantity, {line.unit}", plain(line.quantity), plain(entered.quantity)
    if entered.unit_price != line.unit_price:
        yield "unit price", plain(line.unit_price), plain(entered.unit_price)
    if entered.lead_days != line.lead_days:
        yield "lead days", *(_days(days) for days in (line.lead_days, entered.lead_days))  # type: ignore[misc]


def _terms_changes(supplier: SupplierOrder, quote: SupplierQuote) -> Iterator[tuple[str, str, str]]:
    before = quote_of(supplier)
    for name in ("shipping", "free_from", "order_fee", "tax_percent", "minimum_order", "rate"):
        old, new = getattr(before, name), getattr(quote, name)
        if old != new:
            yield TERM_NAMES[name], _amount(old), _amount(new)


TERM_NAMES = {
    "shipping": "shipping",
    "free_from": "free shipping from",
    "order_fee": "order fee",
    "tax_percent": "tax, %",
    "minimum_order": "least order",
    "rate": "rate",
}


def _days(days: int | None) -> str:
    return "not known" if days is None else str(days)


def _amount(amount: Decimal | None) -> str:
    return "none" if amount is None else plain(amount)
