"""An order with prices and quantities as a buyer or a supplier entered them: its costs, and what changed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from msgspec.structs import replace

from boardgen.model.problem import Place, Problem
from boardgen.purchasing.integer_scaling import smallest_units
from boardgen.purchasing.market import payment_for
from boardgen.purchasing.money import plain, rounded
from boardgen.purchasing.offer import price_at
from boardgen.purchasing.order import (
    LineByLine,
    Order,
    OrderLine,
    Progress,
    Proof,
    Rate,
    StockLine,
    SupplierOrder,
    SupplierTerms,
)
from boardgen.purchasing.order_problems import below_minimum, invented, old_rates, old_terms
from boardgen.purchasing.quotes import LineQuote, SupplierQuote, changes, is_by_break, line_quote
from boardgen.purchasing.reasons import why_part

_JUDGED_AGAIN = (
    "stock-short", "below-least-order", "price-invented", "terms-invented", "terms-old", "rate-old", "not-proven",
)  # fmt: skip
_OF_THE_DAY = ("price-old", "price-ahead")
BY_HAND = "quantities or prices were entered by hand after the choice"


def as_quoted(order: Order, quotes: Sequence[SupplierQuote], source: str) -> Order:
    """The order at the prices, quantities and terms that were entered; itself where nothing was changed.

    Parameters
    ----------
    order
        As it was chosen.
    quotes
        One a supplier, in their order.
    source
        Where they were entered, for the lines they change.

    """
    if not changes(order, quotes):
        return order
    suppliers = tuple(_supplier(order, s, q, source) for s, q in zip(order.suppliers, quotes, strict=True))
    if all(_costs(supplier) == _costs(before) for supplier, before in zip(suppliers, order.suppliers, strict=True)):
        return replace(order, suppliers=suppliers)
    rates = tuple(rate for given in order.rates for rate in _rates(given, order, suppliers, source))
    return with_suppliers(order, suppliers, rates)


def _costs(supplier: SupplierOrder) -> SupplierOrder:
    """The supplier without what is only noted of its lines."""
    return replace(supplier, lines=tuple(replace(line, progress=Progress()) for line in supplier.lines))


def with_suppliers(order: Order, suppliers: Sequence[SupplierOrder], rates: Sequence[Rate]) -> Order:
    """The order with these suppliers, changed by hand, and what it then costs and falls short of."""
    lines = [line for supplier in suppliers for line in supplier.lines]
    total = sum((s.in_order_currency for s in suppliers), rounded(Decimal(), order.currency))
    stock = tuple(_stock(line, lines) for line in order.stock)

    def converted(name: str) -> Decimal:
        amounts = (rounded(getattr(s, name) * s.rate, order.currency) for s in suppliers)
        return sum(amounts, rounded(Decimal(), order.currency))

    return replace(
        order,
        suppliers=tuple(suppliers),
        stock=stock,
        rates=tuple(rates),
        goods=converted("goods"),
        shipping=converted("shipping"),
        order_fees=converted("order_fee"),
        tax=converted("tax"),
        total=total,
        line_by_line=LineByLine(None, 0, BY_HAND),
        proof=Proof(optimal=False, bound=rounded(Decimal(), order.currency), gap=total, reason=BY_HAND),
        reasons=(),
        problems=_problems(order, suppliers, rates),
    )


def bought_only(order: Order) -> Order:
    """The order without the lines of which nothing is bought, and without suppliers that have no other."""
    suppliers = (replace(s, lines=tuple(line for line in s.lines if line.quantity)) for s in order.suppliers)
    return replace(order, suppliers=tuple(supplier for supplier in suppliers if supplier.lines))


def _supplier(order: Order, supplier: SupplierOrder, quote: SupplierQuote, source: str) -> SupplierOrder:
    unexplained = replace(supplier, explanation="")
    lines = tuple(
        _line(order, supplier, line, entered, source) for line, entered in zip(supplier.lines, quote.lines, strict=True)
    )
    terms = quote.terms
    if terms != supplier.terms:
        terms = replace(terms, as_of=order.on or terms.as_of, source=source, invented=False, known=True)
    priced = supplier_order(supplier.supplier, terms, quote.rate, lines, order.currency)
    return replace(priced, explanation=supplier.explanation if _costs(priced) == _costs(unexplained) else "")


def supplier_order(
    name: str, terms: SupplierTerms, rate: Decimal, lines: Sequence[OrderLine], currency: str
) -> SupplierOrder:
    """The order of these lines to a supplier, in an order in `currency`."""
    goods = sum((line.line_total for line in lines), Decimal())
    paid = payment_for(smallest_units(goods, terms.currency), terms, rate, currency)
    leads = [line.lead_days for line in lines]
    return SupplierOrder(
        supplier=name,
        currency=terms.currency,
        rate=rate,
        terms=terms,
        lines=tuple(lines),
        lead_days=None if None in leads else max((days for days in leads if days is not None), default=None),
        explanation="",
        **paid.amounts(terms.currency, currency),
    )


def _line(order: Order, supplier: SupplierOrder, line: OrderLine, entered: LineQuote, source: str) -> OrderLine:
    if entered == line_quote(line):
        return line
    priced = entered.unit_price != line.unit_price and not is_by_break(line, entered)
    return replace(
        line,
        order_code=entered.order_code,
        quantity=entered.quantity,
        unit_price=entered.unit_price,
        line_total=rounded(entered.quantity * entered.unit_price, supplier.currency),
        lead_days=entered.lead_days,
        progress=entered.progress,
        source=source if priced else line.source,
        place=Place() if priced else line.place,
        invented=line.invented and not priced,
        as_of=order.on or line.as_of if priced else line.as_of,
        passed_over="" if priced or entered.quantity != line.quantity else line.passed_over,
        explanation=_explanation(line) if priced or entered.quantity != line.quantity else line.explanation,
    )


def _rates(given: Rate, order: Order, suppliers: Sequence[SupplierOrder], source: str) -> Iterator[Rate]:
    """The rates of a currency as its suppliers' sheets have them: the given one, or one that was entered."""
    for rate in dict.fromkeys(supplier.rate for supplier in suppliers if supplier.currency == given.currency):
        kept = rate == given.rate
        yield given if kept else replace(given, rate=rate, as_of=order.on or given.as_of, source=source)


def _explanation(line: OrderLine) -> str:
    """Why a part, without what was said of a quantity or a price that is no longer asked."""
    return why_part([one.wanted.name for one in line.instead_of])


def _stock(stock: StockLine, lines: Sequence[OrderLine]) -> StockLine:
    bought = sum((line.quantity for line in lines if line.part.key == stock.key), Decimal())
    return replace(stock, bought=bought, left=max(Decimal(), stock.before + bought - stock.used))


def _problems(order: Order, suppliers: Sequence[SupplierOrder], rates: Sequence[Rate]) -> tuple[Problem, ...]:
    """What was said of the order before and still holds, and what has to be said now."""
    known = {supplier.supplier for supplier in suppliers if supplier.terms.known}
    places = [line.place for supplier in suppliers for line in supplier.lines]
    kept = (
        problem
        for problem in order.problems
        if problem.id not in _JUDGED_AGAIN
        and not (problem.id == "terms-missing" and problem.place.key in known)
        and not (problem.id in _OF_THE_DAY and problem.place not in places)
    )
    bought = [supplier for supplier in suppliers if supplier.goods]
    return (
        *kept,
        *(problem for supplier in suppliers for problem in _of_lines(supplier)),
        *_too_few(suppliers),
        *below_minimum(bought),
        *old_terms([one.terms for one in bought], order.on),
        *old_rates(rates, order.on),
        *invented(bought),
    )


def _of_lines(supplier: SupplierOrder) -> Iterator[Problem]:
    """Quantities that the supplier has not, or does not sell so."""
    for number, line in enumerate(supplier.lines, 1):
        where, count = f"{supplier.supplier}, line {number}, {line.part.name}", plain(line.quantity)
        if line.stock is not None and line.stock < line.quantity:
            found, hint = f"{where}: it has {plain(line.stock)} of {count}", "Ask for the date of the rest"
            yield Problem("stock-short", "shortfall", Place(key=line.part.key), found, "", hint)
        if line.quantity and line.quantity < line.minimum:
            yield _odd(line, f"{where}: {count} are bought, the least was {plain(line.minimum)}")
        elif line.quantity % line.multiple:
            yield _odd(line, f"{where}: {count} is no multiple of {plain(line.multiple)}")
        if line.breaks and (asked := price_at(line.breaks, line.quantity)) < line.unit_price:
            found = f"{where}: at {count} the price file asks {plain(asked)}, not {plain(line.unit_price)}"
            yield Problem("quote-break", "warning", Place(key=line.part.key), found, "", "Enter that price, or ask")


def _odd(line: OrderLine, found: str) -> Problem:
    return Problem("quote-multiple", "warning", Place(key=line.part.key), found, "", "Ask whether it can be had so")


def _too_few(suppliers: Sequence[SupplierOrder]) -> Iterator[Problem]:
    """A shortfall for each part of which less is bought than the boards need and the stock gives."""
    lines = [line for supplier in suppliers for line in supplier.lines]
    for key in dict.fromkeys(line.part.key for line in lines):
        same = [line for line in lines if line.part.key == key]
        over = sum((x.quantity + x.from_stock - x.needed for x in same), Decimal())
        if over < 0:
            found = f"{same[0].part.name}: {plain(-over)} short of what the boards need"
            yield Problem("quote-short", "shortfall", Place(key=key), found, "", "Buy more, or build fewer boards")
