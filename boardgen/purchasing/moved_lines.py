"""Lines of an order that the buyer moves to another supplier, at what that one asks."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from msgspec.structs import replace

from boardgen.purchasing.choose import choose
from boardgen.purchasing.market import Market
from boardgen.purchasing.order import Order, OrderLine, Rate, SupplierOrder
from boardgen.purchasing.quoted_order import supplier_order, with_suppliers


def suppliers_of(line: OrderLine) -> tuple[str, ...]:
    """Who else sells the line's part, so that it can be moved there."""
    return tuple(dict.fromkeys(quote.supplier for quote in line.quotes if quote.part == line.part.key))


def moved(
    order: Order, to: Mapping[int, str], market: Market, rates: Sequence[Rate], entered: Collection[int] = ()
) -> Order:
    """The order with lines moved; itself where every line is where it shall be.

    Parameters
    ----------
    order
        As it is.
    to
        A supplier of the part by the line's position; lines that are not named stay.
    market
        Who sells what, late or not.
    rates
        Into the currency of the order.
    entered
        Positions of lines whose quantities were entered by hand and stay as near as they can.

    """
    if all(to.get(line.position, supplier.supplier) == supplier.supplier for supplier, _, line in order.as_chosen):
        return order
    lines: dict[str, list[OrderLine]] = {}
    for supplier, _, line in order.as_chosen:
        name = to.get(line.position, supplier.supplier)
        there = (
            line
            if name == supplier.supplier
            else _moved(line, supplier, name, market, by_hand=line.position in entered)
        )
        lines.setdefault(name, []).append(there)
    known = {supplier.supplier: supplier for supplier in order.suppliers}
    suppliers = []
    for name, found in sorted(lines.items()):
        terms = known[name].terms if name in known else market.suppliers[name].terms
        rate = known[name].rate if name in known else market.suppliers[name].rate
        suppliers.append(supplier_order(name, terms, rate, found, order.currency))
    given = {rate.currency: rate for rate in (*rates, *order.rates)}
    used = dict.fromkeys(supplier.currency for supplier in suppliers)
    return with_suppliers(order, suppliers, [given[currency] for currency in used if currency in given])


def _moved(line: OrderLine, here: SupplierOrder, name: str, market: Market, *, by_hand: bool) -> OrderLine:
    """The line at another supplier, in the quantity that costs least there and is enough."""
    required = line.needed + line.spares - line.from_stock
    offers = [offer for offer in market.of(line.part) if offer.supplier == name]
    (best, *_) = choose(line.quantity if by_hand or required <= 0 else required, line.unit, offers)
    offer, chosen_at = best.offer, line.chosen_at or (here.supplier, here.currency)
    back = name == chosen_at[0]
    return replace(
        line,
        order_code=offer.order_code,
        quantity=best.quantity,
        minimum=offer.minimum,
        multiple=offer.multiple,
        unit_price=best.unit_price,
        line_total=best.cost,
        lead_days=offer.lead_days,
        stock=offer.stock,
        as_of=offer.as_of,
        source=offer.source,
        place=offer.place,
        invented=offer.invented,
        breaks=offer.breaks,
        passed_over="",
        # the supplier may read it, so it names no other
        explanation="" if back else "moved here by hand",
        chosen_at=None if back else chosen_at,
        quotes=tuple(replace(quote, taken=quote.supplier == name) for quote in line.quotes),
    )
