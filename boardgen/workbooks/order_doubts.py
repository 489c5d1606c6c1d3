"""What the costs of an order rest on: prices, suppliers' terms and rates, each with how far it can be trusted."""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.purchasing.money import plain, price_text
from boardgen.purchasing.order import Order, SupplierOrder
from boardgen.workbooks.rows import FigureRow


def doubts(order: Order) -> tuple[FigureRow, ...]:
    """Rates first, then supplier by supplier the terms and the prices."""
    used = {supplier.currency for supplier in order.suppliers}
    rates = [
        FigureRow(f"One {r.currency} in {order.currency}", plain(r.rate), f"given, {r.as_of}", r.source)
        for r in order.rates
        if r.currency in used
    ]
    return (*rates, *(row for supplier in order.suppliers for row in _supplier(supplier)))


def _supplier(supplier: SupplierOrder) -> Iterator[FigureRow]:
    terms, money = supplier.terms, supplier.currency
    said = [f"shipping {price_text(terms.shipping, money)} {money}"]
    if terms.free_from is not None:
        said.append(f"free from {price_text(terms.free_from, money)}")
    if terms.order_fee:
        said.append(f"fee {price_text(terms.order_fee, money)}")
    said.append(f"tax {plain(terms.tax_percent)} %")
    standing = _standing(terms.invented, str(terms.as_of or "")) if terms.known else "not known"
    value = ", ".join(said) if terms.known else "taken as nothing"
    yield FigureRow(f"{supplier.supplier}: terms", value, standing, terms.source)
    for line in supplier.lines:
        price = f"{price_text(line.unit_price, money)} {money} at {plain(line.quantity)}"
        what = f"{supplier.supplier}: price of {line.part.name}"
        yield FigureRow(what, price, _standing(line.invented, line.as_of.isoformat()), line.source)


def _standing(invented: bool, day: str) -> str:
    return "invented" if invented else f"asked {day}".strip()
