"""What may be entered by hand in an order, and where it is not as it was."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from boardgen.model.part import Part
from boardgen.purchasing.money import plain
from boardgen.purchasing.order import Order, OrderLine, SupplierOrder

TERM_NAMES = {
    "shipping": "shipping",
    "free_from": "free shipping from",
    "order_fee": "order fee",
    "tax_percent": "tax, %",
    "minimum_order": "least order",
    "rate": "rate",
}


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


def _days(days: int | None) -> str:
    return "not known" if days is None else str(days)


def _amount(amount: Decimal | None) -> str:
    return "none" if amount is None else plain(amount)
