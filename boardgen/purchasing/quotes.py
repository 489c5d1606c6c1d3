"""What may be entered by hand in an order, and where it is not as it was."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from decimal import Decimal

from msgspec import Struct
from msgspec.structs import replace

from boardgen.purchasing.integer_scaling import amount_of, smallest_units
from boardgen.purchasing.market import payment_for
from boardgen.purchasing.money import plain
from boardgen.purchasing.offer import price_at
from boardgen.purchasing.order import Order, OrderLine, Progress, SupplierOrder, SupplierTerms

TERM_NAMES = {
    "shipping": "shipping",
    "free_from": "free shipping from",
    "order_fee": "order fee",
    "tax_percent": "tax, %",
    "minimum_order": "least order",
}
"""What may be entered of a supplier's terms, by the names of their fields, in words."""


class LineQuote(Struct, frozen=True):
    """What may be entered in a line."""

    order_code: str
    quantity: Decimal
    unit_price: Decimal
    lead_days: int | None
    progress: Progress = Progress()


class SupplierQuote(Struct, frozen=True):
    """What may be entered of one supplier: its terms, the rate of its currency, and its lines in their order."""

    terms: SupplierTerms
    rate: Decimal
    lines: tuple[LineQuote, ...]


class OrderChange(Struct, frozen=True):
    """What is not as it was, as text; `line` counts from 1, None where there is none. `key` and `part`, its key and
    its name, are "" for a supplier's terms, and `supplier` too for the whole order.
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
    """What an earlier order, in `order_currency`, bought of one supplier, and on which terms."""

    terms: SupplierTerms
    rate: Decimal
    order_currency: str
    lines: tuple[PastLine, ...]

    @property
    def total(self) -> Decimal:
        """What it came to in the currency of that order, worked out anew from lines, terms and rate."""
        goods = sum(smallest_units(x.quote.quantity * x.quote.unit_price, self.terms.currency) for x in self.lines)
        paid = payment_for(goods, self.terms, self.rate, self.order_currency)
        return amount_of(paid.converted, self.order_currency)


def reference(order: Order) -> str:
    """A short name for the order: the same for as many of the same boards, with the same in stock, and the same parts
    chosen from the same suppliers, whatever they cost and wherever lines were moved since.

    A workbook that comes back is of the order with the same reference.
    """
    pieces = [order.title, order.currency, *(f"{b.title} {b.revision} {b.boards}" for b in order.boards)]
    pieces += [f"{stock.key} {plain(stock.before)}" for stock in order.stock]
    for supplier, _, line in order.as_chosen:
        pieces += [*(line.chosen_at or (supplier.supplier, supplier.currency)), f"{line.part.key} {line.unit}"]
    return _short_name(pieces)


def issue(order: Order) -> str:
    """A short name for what is sent out: another one for each change of a day or of an entry."""
    pieces = [reference(order), str(order.on), str(order.by)]
    for supplier in order.suppliers:
        pieces += _entries(supplier).values()
        for line in supplier.lines:
            pieces += [line.order_code, plain(line.quantity), plain(line.unit_price), _days(line.lead_days)]
    return _short_name(pieces)


def _short_name(pieces: Sequence[str]) -> str:
    digest = hashlib.sha256("\n".join(pieces).encode("utf-8", "replace")).hexdigest()
    return f"{digest[:4]}-{digest[4:8]}-{digest[8:12]}"


def quote_of(supplier: SupplierOrder) -> SupplierQuote:
    """What the order itself says."""
    return SupplierQuote(supplier.terms, supplier.rate, tuple(map(line_quote, supplier.lines)))


def changes(order: Order, quotes: Sequence[SupplierQuote]) -> tuple[OrderChange, ...]:
    """What the quotes, one a supplier, say otherwise than the order."""
    found: list[OrderChange] = []
    for supplier, quote in zip(order.suppliers, quotes, strict=True):
        for n, (line, entered) in enumerate(zip(supplier.lines, quote.lines, strict=True), 1):
            who = (supplier.supplier, n, line.part.key, line.part.name)
            by_break = is_by_break(line, entered)
            found += [OrderChange(*who, *c) for c in _line_changes(line.unit, line_quote(line), entered, by_break)]
        found += [OrderChange(supplier.supplier, None, "", "", *change) for change in _terms_changes(supplier, quote)]
    return tuple(found)


def moves(chosen: Order, order: Order) -> tuple[OrderChange, ...]:
    """Which lines are bought of another supplier than they were chosen at."""
    names = {line.position: supplier.supplier for supplier, _, line in chosen.as_chosen}
    return tuple(
        OrderChange(s.supplier, n, line.part.key, line.part.name, "supplier", names[line.position], s.supplier)
        for s, n, line in order.as_chosen
        if names[line.position] != s.supplier
    )


def changes_since(past: Sequence[PastSupplier], order: Order) -> tuple[OrderChange, ...]:
    """How the order differs from an earlier one: its lines, those of one part at one supplier in order, then the terms
    of suppliers of both, then the total.
    """
    left: dict[tuple[str, str], list[PastLine]] = {}
    for before in past:
        for line in before.lines:
            left.setdefault((before.terms.supplier, line.key), []).append(line)
    found: list[OrderChange] = []
    for supplier in order.suppliers:
        for n, now in enumerate(supplier.lines, 1):
            who = (supplier.supplier, n, now.part.key, now.part.name)
            same = left.get((supplier.supplier, now.part.key))
            if same:
                old = same.pop(0)
                quote = replace(line_quote(now), progress=old.quote.progress)
                found += [OrderChange(*who, *change) for change in _line_changes(now.unit, old.quote, quote)]
            else:
                found.append(OrderChange(*who, "line", "none", _said(now.unit, line_quote(now))))
    gone = ((supplier, line) for (supplier, _), lines in left.items() for line in lines)
    found += [OrderChange(who, None, x.key, x.part, "line", _said(x.unit, x.quote), "none") for who, x in gone]
    asked = {before.terms.supplier: before for before in past}
    for supplier in order.suppliers:
        if supplier.supplier in asked:
            changed = _terms_changes(asked[supplier.supplier], supplier)
            found += [OrderChange(supplier.supplier, None, "", "", *change) for change in changed]
    if past:
        total = f"{sum(before.total for before in past)} {past[0].order_currency}"
        if total != (now_total := f"{order.total} {order.currency}"):
            found.append(OrderChange("", None, "", "", "total", total, now_total))
    return tuple(found)


def line_quote(line: OrderLine) -> LineQuote:
    """What the line itself says."""
    return LineQuote(line.order_code, line.quantity, line.unit_price, line.lead_days, line.progress)


def _said(unit: str, quote: LineQuote) -> str:
    return f"{plain(quote.quantity)}{' m' if unit == 'm' else ''} at {plain(quote.unit_price)}"


def is_by_break(line: OrderLine, entered: LineQuote) -> bool:
    """Whether the price is what the line's breaks ask at that quantity."""
    return bool(line.breaks) and price_at(line.breaks, entered.quantity) == entered.unit_price


def _line_changes(
    unit: str, before: LineQuote, after: LineQuote, by_break: bool = False
) -> Iterator[tuple[str, str, str]]:
    if after.order_code != before.order_code:
        yield "order code", before.order_code, after.order_code
    if after.quantity != before.quantity:
        yield f"quantity, {unit}", plain(before.quantity), plain(after.quantity)
    if after.unit_price != before.unit_price:
        yield (
            "unit price, by its break" if by_break else "unit price",
            plain(before.unit_price),
            plain(after.unit_price),
        )
    if after.lead_days != before.lead_days:
        yield "lead days", _days(before.lead_days), _days(after.lead_days)
    old, new = _noted(unit, before.progress), _noted(unit, after.progress)
    yield from ((name, old[name] or "none", new[name] or "none") for name in old if old[name] != new[name])


def _noted(unit: str, progress: Progress) -> dict[str, str]:
    """What is noted of a line, as text by what it is called."""
    return {
        "ordered on": str(progress.ordered_on or ""),
        "order number": progress.order_number,
        f"received, {unit}": "" if progress.received is None else plain(progress.received),
        "remark": progress.remark,
    }


def _terms_changes(
    before: SupplierOrder | PastSupplier, after: SupplierOrder | SupplierQuote
) -> Iterator[tuple[str, str, str]]:
    old, new = _entries(before), _entries(after)
    yield from ((name, old[name], new[name]) for name in old if old[name] != new[name])


def _entries(of: SupplierOrder | SupplierQuote | PastSupplier) -> dict[str, str]:
    """Currency, terms and rate, as text by what they are called."""
    terms = {said: _amount(getattr(of.terms, name)) for name, said in TERM_NAMES.items()}
    return {"currency": of.terms.currency, **terms, "rate": plain(of.rate)}


def _days(days: int | None) -> str:
    return "not known" if days is None else str(days)


def _amount(amount: Decimal | None) -> str:
    return "none" if amount is None else plain(amount)
