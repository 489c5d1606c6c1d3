"""A way to meet all wishes, and what it costs exactly."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from msgspec import Struct

from boardgen.model.part import Part
from boardgen.purchasing.choose import Purchase, purchase_of
from boardgen.purchasing.columns import Column
from boardgen.purchasing.exact import smallest_units, unscaled
from boardgen.purchasing.market import Market, Money
from boardgen.purchasing.program import Built
from boardgen.purchasing.topping_up import steps_adding

if TYPE_CHECKING:
    from scipy.optimize import OptimizeResult


class Deal(Struct, frozen=True):
    """The wishes `covers`, by number, met by one part; without purchases where the stock in hand meets them."""

    part: Part
    covers: tuple[int, ...]
    purchases: tuple[Purchase, ...]


def deal_of(column: Column, steps: int = 0) -> Deal:
    """What a column stands for, with so many extra steps."""
    if column.lot is None:
        return Deal(column.part, column.covers, ())
    more = steps * column.extra.step if column.extra else 0
    return Deal(column.part, column.covers, (purchase_of(column.lot.offer, unscaled(column.quantity + more)),))


def deals_of(built: Built, answer: OptimizeResult) -> tuple[Deal, ...] | None:
    """What the solver's answer stands for; None where its topping up cannot be made of extra steps."""

    def value(unknown: int) -> int:
        return round(float(answer.x[unknown]))

    taken = [n for n in built.columns if value(n)]
    steps = {n: value(unknown) for n, unknown in built.extras.items()}
    for name, unknown in built.toppings.items():
        there = [n for n in taken if (lot := built.columns[n].lot) is not None and lot.offer.supplier == name]
        made = steps_adding([built.columns[n] for n in there], value(unknown))
        if made is None:
            return None
        steps |= dict(zip(there, made, strict=True))
    deals = [deal_of(built.columns[n], steps.get(n, 0)) for n in taken]
    for split in built.splits:
        covers = tuple(wish for wish, unknown in split.meets.items() if value(unknown))
        purchases = tuple(
            purchase_of(share.lot.offer, unscaled(value(n) * share.lot.step))
            for n, share in split.steps.items()
            if value(n)
        )
        if covers:
            deals.append(Deal(split.split.part, covers, purchases))
    return tuple(sorted(deals, key=lambda deal: deal.covers))


def landed(deals: Iterable[Deal], market: Market) -> dict[str, Money]:
    """What each supplier is paid, by name, calculated from the decimal cost of every line."""
    goods: dict[str, int] = {}
    for deal in deals:
        for purchase in deal.purchases:
            offer = purchase.offer
            goods[offer.supplier] = goods.get(offer.supplier, 0) + smallest_units(purchase.cost, offer.currency)
    return {name: market.suppliers[name].money(amount) for name, amount in sorted(goods.items())}


def total(paid: Mapping[str, Money]) -> int:
    """The whole cost in the smallest unit of the order's currency."""
    return sum(money.converted for money in paid.values())


def below_minimum(paid: Mapping[str, Money], market: Market) -> list[str]:
    """The suppliers whose least order is not reached, the smallest order first."""
    short = [(money.goods, name) for name, money in paid.items() if money.goods < (market.suppliers[name].minimum or 0)]
    return [name for _, name in sorted(short)]
