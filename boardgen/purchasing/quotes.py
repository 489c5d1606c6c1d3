"""What may be entered by hand in an order, and where it is not as it was."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal

from msgspec import Struct

from boardgen.purchasing.money import plain, rounded
from boardgen.purchasing.order import Order, OrderLine, SupplierOrder, SupplierTerms

TERM_NAMES = {
    "shipping": "shipping",
    "free_from": "free shipping from",
    "order_fee": "order fee",
    "tax_percent": "tax, %",
    "minimum_order": "least order",
    "rate": "rate",
}


class LineQuote(Struct, frozen=True):
    """What may be entered in a line."""

    order_code: str
    quantity: Decimal
    unit_price: Decimal
    lead_days: int | None


class SupplierQuote(Struct, frozen=True):
    """What may be entered of one supplier: its terms, the rate of its currency, and its lines in their order.

    Amounts are in its currency; None where there is no such limit.
    """

    shipping: Decimal
    free_from: Decimal | None
    order_fee: Decimal
    tax_percent: Decimal
    minimum_order: Decimal | None
    rate: Decimal
    lines: tuple[LineQuote, ...]


class OrderChange(Struct, frozen=True):
    """What is not as it was, as text; `line` counts from 1, None where there is none. `key` and `part`, its key and
    its name, are "" for a supplier's terms.
    """

    supplier: str
    line: int | None
    key: str
    part: str
    what: str
    before: str
    after: str


class PastLine(Struct, frozen=True):
    """A line of an earlier order: the part's key and its name, and what stood in the line."""

    key: str
    part: str
    unit: str
    quote: LineQuote


class PastSupplier(Struct, frozen=True):
    """What an earlier order bought of one supplier, on which terms. A term that could not be found is absent."""

    supplier: str
    currency: str
    lines: tuple[PastLine, ...]
    terms: Mapping[str, Decimal | None]

    def paid(self, currency: str) -> Decimal:
        """The total in the currency of the order, worked out anew from lines, terms and rate."""
        goods = sum(
            (rounded(x.quote.quantity * x.quote.unit_price, self.currency) for x in self.lines),
            rounded(Decimal(), self.currency),
        )
        given = {name: value for name, value in self.terms.items() if name != "rate" and value is not None}
        terms = SupplierTerms(self.supplier, self.currency, **given)  # type: ignore[arg-type]
        *_, total = paid(self.currency, terms, goods)
        return rounded(total * (self.terms.get("rate") or Decimal(1)), currency)


def paid(currency: str, terms: SupplierTerms, goods: Decimal) -> tuple[Decimal, Decimal, Decimal, Decimal]:
    """Shipping, order fee, tax and total for goods of that value, in `currency`; nothing where nothing is bought."""
    nothing = rounded(Decimal(), currency)
    if not goods:
        return nothing, nothing, nothing, nothing
    free = terms.free_from is not None and goods >= terms.free_from
    shipping = nothing if free else rounded(terms.shipping, currency)
    fee = rounded(terms.order_fee, currency)
    tax = rounded((goods + shipping + fee) * terms.tax_percent / 100, currency)
    return shipping, fee, tax, goods + shipping + fee + tax


def reference(order: Order) -> str:
    """A short name for the order: the same for as many of the same boards, with the same in stock, and the same parts
    from the same suppliers, whatever they cost. A workbook that comes back is of the order with the same reference.
    """
    pieces = [order.title, order.currency, *(f"{b.title} {b.revision} {b.boards}" for b in order.boards)]
    pieces += [f"{stock.key} {plain(stock.before)}" for stock in order.stock]
    for supplier in order.suppliers:
        pieces += [supplier.supplier, supplier.currency, *(f"{line.part.key} {line.unit}" for line in supplier.lines)]
    return _short_name(pieces)


def issue(order: Order) -> str:
    """A short name for what is sent out: another one for each change of a quantity, a price, a rate or terms."""
    pieces = [reference(order), str(order.on), str(order.by)]
    for supplier in order.suppliers:
        pieces += [repr(quote_of(supplier))]
    return _short_name(pieces)


def _short_name(pieces: Sequence[str]) -> str:
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
        tuple(line_quote(line) for line in supplier.lines),
    )


def changes(order: Order, quotes: Sequence[SupplierQuote]) -> tuple[OrderChange, ...]:
    """What the quotes, one a supplier, say otherwise than the order."""
    found: list[OrderChange] = []
    for supplier, quote in zip(order.suppliers, quotes, strict=True):
        for n, (line, entered) in enumerate(zip(supplier.lines, quote.lines, strict=True), 1):
            who = (supplier.supplier, n, line.part.key, line.part.name)
            found += [OrderChange(*who, *change) for change in _line_changes(line.unit, line_quote(line), entered)]
        found += [OrderChange(supplier.supplier, None, "", "", *change) for change in _terms_changes(supplier, quote)]
    return tuple(found)


def changes_since(past: Sequence[PastSupplier], order: Order) -> tuple[OrderChange, ...]:
    """How the order differs from an earlier one: its lines, those of one part at one supplier in order, then the terms
    of suppliers of both, then the total.
    """
    left: dict[tuple[str, str], list[PastLine]] = {}
    for before in past:
        for line in before.lines:
            left.setdefault((before.supplier, line.key), []).append(line)
    found: list[OrderChange] = []
    for supplier in order.suppliers:
        for n, now in enumerate(supplier.lines, 1):
            who = (supplier.supplier, n, now.part.key, now.part.name)
            same = left.get((supplier.supplier, now.part.key))
            if same:
                old = same.pop(0)
                found += [OrderChange(*who, *change) for change in _line_changes(now.unit, old.quote, line_quote(now))]
            else:
                found.append(OrderChange(*who, "line", "none", _said(now.unit, line_quote(now))))
    gone = ((supplier, line) for (supplier, _), lines in left.items() for line in lines)
    found += [OrderChange(who, None, x.key, x.part, "line", _said(x.unit, x.quote), "none") for who, x in gone]
    terms = {before.supplier: before.terms for before in past}
    for supplier in order.suppliers:
        now_asked = _terms_of(quote_of(supplier))
        found += [
            OrderChange(supplier.supplier, None, "", "", TERM_NAMES[name], _amount(was), _amount(now_asked[name]))
            for name, was in terms.get(supplier.supplier, {}).items()
            if was != now_asked[name]
        ]
    total = sum((before.paid(order.currency) for before in past), Decimal())
    if past and total != order.total:
        found.append(OrderChange("", None, "", "", f"total, {order.currency}", plain(total), plain(order.total)))
    return tuple(found)


def line_quote(line: OrderLine) -> LineQuote:
    """What the line itself says."""
    return LineQuote(line.order_code, line.quantity, line.unit_price, line.lead_days)


def _said(unit: str, quote: LineQuote) -> str:
    return f"{plain(quote.quantity)}{' m' if unit == 'm' else ''} at {plain(quote.unit_price)}"


def _line_changes(unit: str, before: LineQuote, after: LineQuote) -> Iterator[tuple[str, str, str]]:
    if after.order_code != before.order_code:
        yield "order code", before.order_code, after.order_code
    if after.quantity != before.quantity:
        yield f"quantity, {unit}", plain(before.quantity), plain(after.quantity)
    if after.unit_price != before.unit_price:
        yield "unit price", plain(before.unit_price), plain(after.unit_price)
    if after.lead_days != before.lead_days:
        yield "lead days", _days(before.lead_days), _days(after.lead_days)


def _terms_changes(supplier: SupplierOrder, quote: SupplierQuote) -> Iterator[tuple[str, str, str]]:
    before, after = _terms_of(quote_of(supplier)), _terms_of(quote)
    for name, old in before.items():
        if old != after[name]:
            yield TERM_NAMES[name], _amount(old), _amount(after[name])


def _terms_of(quote: SupplierQuote) -> dict[str, Decimal | None]:
    return {name: getattr(quote, name) for name in TERM_NAMES}


def _days(days: int | None) -> str:
    return "not known" if days is None else str(days)


def _amount(amount: Decimal | None) -> str:
    return "none" if amount is None else plain(amount)
