"""Every way to buy a part that may belong to a cheapest order, as whole numbers.

A column buys one part, for some of the wishes, in one quantity from one offer. Within a price break fewer never cost
more, so the least quantity of each break is enough; where a supplier ships free from some value of goods on, or sells
nothing below one, it may be right to buy more of it, by whole steps: `extra`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from itertools import combinations

from msgspec import Struct

from boardgen.model.part import Part
from boardgen.purchasing.exact import Lot, scaled
from boardgen.purchasing.market import Market, Supplier

MOST_TOGETHER = 6
"""Most wishes that one part may meet at once; more would need too many combinations."""
MOST_STEPS = 100_000
"""Most steps that are bought beyond the need to reach a limit."""


class Wish(Struct, frozen=True):
    """So much of a part is wanted, more than 0, in the part's unit. `allowed` are other parts that do as well."""

    part: Part
    wanted: Decimal
    allowed: tuple[Part, ...] = ()


class Extra(Struct, frozen=True):
    """Steps beyond the quantity of a column: at most `most`, each of `step` at `price`; a step costs `each`, or, where
    that is no whole number, the line has to be rounded: None.
    """

    most: int
    step: int
    price: int
    each: int | None


class Column(Struct, frozen=True):
    """The wishes `covers` met by `part`: so many of an offer for `cost`, or out of the stock in hand (lot is None)."""

    covers: tuple[int, ...]
    part: Part
    lot: Lot | None
    quantity: int
    cost: int
    extra: Extra | None = None


class Share(Struct, frozen=True):
    """Part of a line that no supplier has enough of: `low` to `high` steps of an offer at one price break."""

    lot: Lot
    low: int
    high: int
    price: int
    each: int | None


class Split(Struct, frozen=True):
    """A part bought from several suppliers at once. `wants` is by wish; `free` is in hand and meets what it can."""

    part: Part
    wants: Mapping[int, int]
    free: int
    shares: tuple[Share, ...]


def allowed_parts(wishes: Sequence[Wish]) -> dict[Part, tuple[int, ...]]:
    """The wishes that each part may meet, by their numbers; of an alternate no more than MOST_TOGETHER."""
    found: dict[Part, list[int]] = {wish.part: [number] for number, wish in enumerate(wishes)}
    for number, wish in enumerate(wishes):
        for part in wish.allowed:
            meets = found.setdefault(part, [])
            if len(meets) < MOST_TOGETHER:
                meets.append(number)
    return {part: tuple(numbers) for part, numbers in found.items()}


def columns(
    wishes: Sequence[Wish], market: Market, free: Mapping[Part, Decimal], any_stock: frozenset[Part] = frozenset()
) -> tuple[list[Column], list[Split]]:
    """All that is worth looking at. `free` is what of a part is in hand beyond what its own wish took already.

    A part is split over suppliers only where no single one of them has enough. Of the parts in `any_stock` every
    supplier is taken to have enough.
    """
    made: list[Column] = []
    splits: list[Split] = []
    for part, numbers in allowed_parts(wishes).items():
        lots = market.lots(part, any_stock=part in any_stock)
        wants = {n: scaled(wishes[n].wanted) for n in numbers}
        in_hand = scaled(free.get(part, Decimal(0)))
        if split := _split(part, wants, in_hand, lots, market):
            splits.append(split)
            continue
        for size in range(1, len(numbers) + 1):
            for covers in combinations(numbers, size):
                wanted = max(0, sum(wants[n] for n in covers) - in_hand)
                if wanted:
                    made += _bought(covers, part, wanted, lots, market)
                else:
                    made.append(Column(covers, part, None, 0, 0))
    return made, splits


def _bought(covers: tuple[int, ...], part: Part, wanted: int, lots: Sequence[Lot], market: Market) -> Iterator[Column]:
    """The columns of each supplier; only the cheapest where nothing is won by buying more."""
    by_supplier: dict[str, list[Column]] = {}
    for lot in lots:
        supplier = market.suppliers[lot.offer.supplier]
        by_supplier.setdefault(supplier.name, []).extend(_of_lot(covers, part, wanted, lot, supplier))
    for name, found in by_supplier.items():
        if found:
            cheapest = min(found, key=lambda column: (column.cost, column.quantity))
            yield from _worth_a_look(found, cheapest, market.suppliers[name].worth_reaching)


def _worth_a_look(found: Sequence[Column], cheapest: Column, room: int) -> Iterator[Column]:
    """Those that cost no more beyond the cheapest than is worth reaching, and the first that goes past it."""
    for column in sorted(found, key=lambda column: (column.cost, column.quantity)):
        if column is cheapest or room:
            yield column
        if column.cost >= cheapest.cost + room:
            return


def _of_lot(covers: tuple[int, ...], part: Part, wanted: int, lot: Lot, supplier: Supplier) -> Iterator[Column]:
    seen = set()
    for scale in lot.scales:
        quantity = lot.least(max(wanted, scale.low))
        if quantity in seen or (scale.high is not None and quantity >= scale.high):
            continue
        if lot.most is not None and quantity > lot.most:
            break
        seen.add(quantity)
        extra = _extra(lot, quantity, scale.high, scale.price, supplier.worth_reaching)
        yield Column(covers, part, lot, quantity, lot.cost(quantity, scale.price), extra)


def _extra(lot: Lot, quantity: int, high: int | None, price: int, room: int) -> Extra | None:
    """What can be added within the price break and the stock, and is not plainly more than is worth reaching."""
    if not room:
        return None
    ends = [room * lot.divisor // (price * lot.step) + 1, MOST_STEPS]
    if high is not None:
        ends.append((high - 1 - quantity) // lot.step)
    if lot.most is not None:
        ends.append((lot.most - quantity) // lot.step)
    most = min(ends)
    return Extra(most, lot.step, price, _each(lot, price)) if most > 0 else None


def _each(lot: Lot, price: int) -> int | None:
    each, rest = divmod(lot.step * price, lot.divisor)
    return None if rest else each


def _split(part: Part, wants: Mapping[int, int], free: int, lots: Sequence[Lot], market: Market) -> Split | None:
    """The part in shares, where no offer covers all wishes from stock; None where one does, or nobody has a limit."""
    wanted = sum(wants.values()) - free
    if wanted <= 0 or not lots or any(lot.most is None or lot.least(wanted) <= lot.most for lot in lots):
        return None
    shares = []
    for lot in lots:
        most = lot.most or 0
        room = market.suppliers[lot.offer.supplier].worth_reaching
        for scale in lot.scales:
            low = lot.least(scale.low) // lot.step
            useful = max(low, lot.least(wanted) // lot.step) + room * lot.divisor // (scale.price * lot.step) + 1
            high = min(most // lot.step, useful, *([(scale.high - 1) // lot.step] if scale.high else []))
            if low <= high:
                shares.append(Share(lot, low, high, scale.price, _each(lot, scale.price)))
    return Split(part, wants, free, tuple(shares)) if shares else None
