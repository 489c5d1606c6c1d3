"""Requirements allocated to offers, and what that costs exactly."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from boardgen.model.part import Part
from boardgen.purchasing.choose import Purchase, purchase_of
from boardgen.purchasing.integer_scaling import smallest_units, unscaled
from boardgen.purchasing.market import Market, Payment
from boardgen.purchasing.program import OrderProgram
from boardgen.purchasing.purchase_options import PurchaseOption

if TYPE_CHECKING:
    from scipy.optimize import OptimizeResult

MOST_ADDED = 200_000
"""Units of a currency up to which steps are looked for by sums: above, the solver does it sooner and in less memory."""


class Allocation(Struct, frozen=True):
    """The requirements numbered in `covers`, met by one part; without purchases where the stock meets them."""

    part: Part
    covers: tuple[int, ...]
    purchases: tuple[Purchase, ...]


def allocation_of(option: PurchaseOption, steps: int = 0) -> Allocation:
    """What an option stands for, with so many steps of top-up."""
    if option.offer is None:
        return Allocation(option.part, option.covers, ())
    more = steps * option.top_up.step if option.top_up else 0
    purchase = purchase_of(option.offer.original, unscaled(option.quantity + more))
    return Allocation(option.part, option.covers, (purchase,))


def allocations_of(made: OrderProgram, answer: OptimizeResult) -> tuple[Allocation, ...] | None:
    """What the solver's answer stands for; None where its value of top-ups cannot be made of steps, or is
    too much to look for them.
    """

    def value(variable: int) -> int:
        return round(float(answer.x[variable]))

    taken = [n for n in made.options if value(n)]
    steps = {n: value(variable) for n, variable in made.steps.items()}
    for name, variable in made.top_ups.items():
        there = [n for n in taken if (offer := made.options[n].offer) is not None and offer.supplier == name]
        amount = value(variable)
        found = steps_adding([made.options[n] for n in there], amount) if amount <= MOST_ADDED else None
        if found is None:
            return None
        steps |= dict(zip(there, found, strict=True))
    allocations = [allocation_of(made.options[n], steps.get(n, 0)) for n in taken]
    for split in made.splits:
        covers = tuple(requirement for requirement, variable in split.meets.items() if value(variable))
        purchases = tuple(
            purchase_of(share.offer.original, unscaled(value(n) * share.offer.step))
            for n, share in split.steps.items()
            if value(n)
        )
        if covers:
            allocations.append(Allocation(split.split.part, covers, purchases))
    return tuple(sorted(allocations, key=lambda allocation: allocation.covers))


def landed(allocations: Iterable[Allocation], market: Market) -> dict[str, Payment]:
    """What each supplier is paid, by name, calculated from the decimal cost of every line."""
    goods: dict[str, int] = {}
    for allocation in allocations:
        for purchase in allocation.purchases:
            offer = purchase.offer
            goods[offer.supplier] = goods.get(offer.supplier, 0) + smallest_units(purchase.cost, offer.currency)
    return {name: market.suppliers[name].payment(amount) for name, amount in sorted(goods.items())}


def total(paid: Mapping[str, Payment]) -> int:
    """The whole cost in the smallest unit of the order's currency."""
    return sum(payment.converted for payment in paid.values())


def below_minimum(paid: Mapping[str, Payment], market: Market) -> list[str]:
    """The suppliers whose least order is not reached, the smallest order first."""
    short = [(p.goods, name) for name, p in paid.items() if p.goods < (market.suppliers[name].minimum or 0)]
    return [name for _, name in sorted(short)]


def steps_adding(options: Sequence[PurchaseOption], amount: int) -> tuple[int, ...] | None:
    """The steps of top-up of each option that together cost exactly `amount`, on as few lines as come first; else None.

    Subset sum by dynamic programming: the sums that the first options can reach are kept as the bits of a whole number,
    bit n set where n can be reached. It takes (steps of all options) shifts of `amount` bits.
    """
    reachable = [1]
    within = (1 << (amount + 1)) - 1
    for option in options:
        sums = 0
        for cost in _costs_of_steps(option, amount):
            sums |= reachable[-1] << cost
        reachable.append(sums & within)
    if not reachable[-1] >> amount & 1:
        return None
    steps = [0] * len(options)
    left = amount
    for number in range(len(options) - 1, -1, -1):
        costs = _costs_of_steps(options[number], left)
        steps[number] = next(n for n, cost in enumerate(costs) if reachable[number] >> (left - cost) & 1)
        left -= costs[steps[number]]
    return tuple(steps)


def _costs_of_steps(option: PurchaseOption, most: int) -> list[int]:
    """What 0, 1, 2 ... steps of top-up cost, up to `most`."""
    if option.top_up is None or option.offer is None:
        return [0]
    found = []
    for steps in range(option.top_up.most + 1):
        quantity = option.quantity + steps * option.top_up.step
        cost = option.offer.cost(quantity, option.top_up.price) - option.cost
        if cost > most:
            break
        found.append(cost)
    return found
