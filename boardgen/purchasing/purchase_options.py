"""Every way to buy a part that may belong to a cheapest order, in whole numbers: the columns of the program.

An option buys one part, for some of the requirements, in one quantity from one offer. Within a price break fewer never
cost more, so the least quantity of each break is enough; where a supplier ships free from some value of goods on, or
sells nothing below one, it may be right to buy more of it, by whole steps: its `top_up`.

There are at most parts x 2^MOST_TOGETHER x offers x price breaks of them; without alternates parts x offers x breaks.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from itertools import combinations

from msgspec import Struct

from boardgen.model.part import Part
from boardgen.purchasing.integer_scaling import ScaledOffer, scaled
from boardgen.purchasing.market import Market, Supplier

MOST_TOGETHER = 6
"""Most requirements that one part may meet at once; more would need too many combinations."""
MOST_STEPS = 100_000
"""Most steps that are bought beyond a requirement to reach a limit."""


class Requirement(Struct, frozen=True):
    """What must be bought of a part: `quantity`, above 0, in the part's unit. Any of `alternates` does as well."""

    part: Part
    quantity: Decimal
    alternates: tuple[Part, ...] = ()


class TopUp(Struct, frozen=True):
    """Steps beyond the quantity of an option: at most `most`, each of `step` at `price`.

    A step costs `each`, or, where that is no whole number, the line has to be rounded: None.
    """

    most: int
    step: int
    price: int
    each: int | None


class PurchaseOption(Struct, frozen=True):
    """The requirements numbered in `covers` met by `part`: so many of an offer for `cost`.

    Without an `offer` they are met out of stock.
    """

    covers: tuple[int, ...]
    part: Part
    offer: ScaledOffer | None
    quantity: int
    cost: int
    top_up: TopUp | None = None


class SplitShare(Struct, frozen=True):
    """Part of a line that no supplier has enough of: `low` to `high` steps of an offer at one price break."""

    offer: ScaledOffer
    low: int
    high: int
    price: int
    each: int | None


class SplitPurchase(Struct, frozen=True):
    """A part bought from several suppliers at once.

    `quantities` are those required, by the number of the requirement; `free` is in stock and meets what it can.
    """

    part: Part
    quantities: Mapping[int, int]
    free: int
    shares: tuple[SplitShare, ...]


Options = tuple[Sequence[PurchaseOption], Sequence[SplitPurchase]]


def purchase_options(
    requirements: Sequence[Requirement],
    market: Market,
    free: Mapping[Part, Decimal],
    any_stock: frozenset[Part] = frozenset(),
) -> Options:
    """All purchases that are worth looking at.

    Parameters
    ----------
    requirements
        What must be bought; options name them by their numbers.
    market
        Who sells what.
    free
        What is in stock of a part beyond what its own requirement took already, in the part's unit.
    any_stock
        Parts of which every supplier is taken to have enough.

    Returns
    -------
    The options, and the parts that have to be split over suppliers because no single one has enough of them.

    """
    options: list[PurchaseOption] = []
    splits: list[SplitPurchase] = []
    for part, numbers in _requirements_by_part(requirements).items():
        offers = market.scaled_offers(part, any_stock=part in any_stock)
        quantities = {n: scaled(requirements[n].quantity) for n in numbers}
        in_stock = scaled(free.get(part, Decimal(0)))
        if split := _split(part, quantities, in_stock, offers, market):
            splits.append(split)
            continue
        for size in range(1, len(numbers) + 1):
            for covers in combinations(numbers, size):
                quantity = max(0, sum(quantities[n] for n in covers) - in_stock)
                if quantity:
                    options += _bought(covers, part, quantity, offers, market)
                else:
                    options.append(PurchaseOption(covers, part, None, 0, 0))
    return options, splits


def _requirements_by_part(requirements: Sequence[Requirement]) -> dict[Part, tuple[int, ...]]:
    """The requirements that each part may meet, by their numbers; of an alternate no more than MOST_TOGETHER."""
    found: dict[Part, list[int]] = {required.part: [number] for number, required in enumerate(requirements)}
    for number, required in enumerate(requirements):
        for part in required.alternates:
            meets = found.setdefault(part, [])
            if len(meets) < MOST_TOGETHER:
                meets.append(number)
    return {part: tuple(numbers) for part, numbers in found.items()}


def _bought(
    covers: tuple[int, ...], part: Part, quantity: int, offers: Sequence[ScaledOffer], market: Market
) -> Iterator[PurchaseOption]:
    """The options of each supplier; only the cheapest where nothing is won by buying more."""
    by_supplier: dict[str, list[PurchaseOption]] = {}
    for offer in offers:
        supplier = market.suppliers[offer.supplier]
        by_supplier.setdefault(supplier.name, []).extend(_of_offer(covers, part, quantity, offer, supplier))
    for name, found in by_supplier.items():
        if found:
            yield from _worth_a_look(found, market.suppliers[name].worth_reaching)


def _worth_a_look(found: Sequence[PurchaseOption], room: int) -> Iterator[PurchaseOption]:
    """Those that cost no more beyond the cheapest than is worth reaching, and the first that goes past it."""
    rising = sorted(found, key=lambda option: (option.cost, option.quantity))
    for number, option in enumerate(rising):
        if number == 0 or room:
            yield option
        if option.cost >= rising[0].cost + room:
            return


def _of_offer(
    covers: tuple[int, ...], part: Part, required: int, offer: ScaledOffer, supplier: Supplier
) -> Iterator[PurchaseOption]:
    seen = set()
    for price_break in offer.breaks:
        quantity = offer.least(max(required, price_break.low))
        if quantity in seen or (price_break.high is not None and quantity >= price_break.high):
            continue
        if offer.most is not None and quantity > offer.most:
            break
        seen.add(quantity)
        top_up = _top_up(offer, quantity, price_break.high, price_break.price, supplier.worth_reaching)
        yield PurchaseOption(covers, part, offer, quantity, offer.cost(quantity, price_break.price), top_up)


def _top_up(offer: ScaledOffer, quantity: int, high: int | None, price: int, room: int) -> TopUp | None:
    """What can be added within the price break and the stock, and is not plainly more than is worth reaching."""
    if not room:
        return None
    ends = [room * offer.divisor // (price * offer.step) + 1, MOST_STEPS]
    if high is not None:
        ends.append((high - 1 - quantity) // offer.step)
    if offer.most is not None:
        ends.append((offer.most - quantity) // offer.step)
    most = min(ends)
    return TopUp(most, offer.step, price, _each(offer, price)) if most > 0 else None


def _each(offer: ScaledOffer, price: int) -> int | None:
    """What a step costs, None where that is no whole number."""
    each, rest = divmod(offer.step * price, offer.divisor)
    return None if rest else each


def _split(
    part: Part, quantities: Mapping[int, int], free: int, offers: Sequence[ScaledOffer], market: Market
) -> SplitPurchase | None:
    """The part in shares, where no offer covers all from stock; None where one does, or nobody has a limit."""
    required = sum(quantities.values()) - free
    if required <= 0 or not offers or any(o.most is None or o.least(required) <= o.most for o in offers):
        return None
    shares = []
    for offer in offers:
        most = (offer.most or 0) // offer.step
        enough = offer.least(required) // offer.step
        room = market.suppliers[offer.supplier].worth_reaching
        for price_break in offer.breaks:
            low = offer.least(price_break.low) // offer.step
            useful = max(low, enough) + room * offer.divisor // (price_break.price * offer.step) + 1
            high = min(most, useful, *([(price_break.high - 1) // offer.step] if price_break.high else []))
            if low <= high:
                shares.append(SplitShare(offer, low, high, price_break.price, _each(offer, price_break.price)))
    return SplitPurchase(part, quantities, free, tuple(shares)) if shares else None
