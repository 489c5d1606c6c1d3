"""What a board costs when so many are bought for, from one on, and why the cost changes where it does."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from boardgen.model.part import Part
from boardgen.purchasing.buy import Solution
from boardgen.purchasing.integer_scaling import amount_of, half_up_of, smallest_units
from boardgen.purchasing.market import Market
from boardgen.purchasing.money import plain, price_text, rounded
from boardgen.purchasing.sourcing import OrderRequest, Sourcing

WORTH_A_WORD = Fraction(1, 100)
"""A cause that changes the cost of a board by less than this share of it is not named."""
MOST_CAUSES = 3


class CostPoint(Struct, frozen=True):
    """The least cost of an order for `boards` boards of each kind, in the order's currency.

    `per_board` is the total over all boards, rounded half up; `line_by_line` the same for the baseline, None where that
    cannot be solution. `causes` say why a board costs more or less than with one board fewer, the largest first.
    """

    boards: int
    total: Decimal
    per_board: Decimal
    goods: Decimal
    beside_goods: Decimal
    suppliers: int
    line_by_line: Decimal | None
    optimal: bool
    causes: tuple[str, ...]


def cost_over_quantity(request: OrderRequest, most: int) -> tuple[CostPoint, ...]:
    """The cost for 1 to `most` boards of each kind; needs that are no board are bought once.

    Each number of boards is an order of its own, solved anew: `most` programs.
    """
    shared = replace(request, book=Sourcing(request).narrowed_book)
    points: list[CostPoint] = []
    before: _Cost | None = None
    for boards in range(1, most + 1):
        spent = _spent(shared, boards)
        points.append(_point(spent, before))
        before = spent
    return tuple(points)


class _PartCost(Struct, frozen=True):
    """A part as it is bought: for `cost` of the smallest unit of the order's currency."""

    part: Part
    quantity: Decimal
    cost: Fraction
    prices: tuple[tuple[str, Decimal, str], ...]


class _Cost(Struct, frozen=True):
    boards: int
    kinds: int
    market: Market
    solution: Solution
    parts: Mapping[str, _PartCost]

    @property
    def all_boards(self) -> int:
        return self.boards * self.kinds

    @property
    def per_board(self) -> Fraction:
        return Fraction(self.solution.total, self.all_boards)

    def beside(self, name: str) -> Fraction:
        """Freight, fee and tax of a supplier."""
        payment = self.solution.paid.get(name)
        if payment is None:
            return Fraction(0)
        return Fraction(payment.converted) - payment.goods * self.market.suppliers[name].worth


def _spent(request: OrderRequest, boards: int) -> _Cost:
    each = tuple(replace(b, board=replace(b.board, boards=boards)) if b.board.boards else b for b in request.boards)
    sourcing = Sourcing(replace(request, boards=each))
    parts: dict[str, _PartCost] = {}
    for allocation in sourcing.solution.allocations:
        cost, quantity, prices = Fraction(0), Decimal(0), []
        for purchase in allocation.purchases:
            offer = purchase.offer
            cost += smallest_units(purchase.cost, offer.currency) * sourcing.market.suppliers[offer.supplier].worth
            quantity += purchase.quantity
            prices.append((offer.supplier, purchase.unit_price, offer.currency))
        parts[allocation.part.key] = _PartCost(allocation.part, quantity, cost, tuple(prices))
    kinds = sum(b.board.boards > 0 for b in each)
    return _Cost(boards, max(1, kinds), sourcing.market, sourcing.solution, parts)


def _point(spent: _Cost, before: _Cost | None) -> CostPoint:
    solution, currency = spent.solution, spent.market.currency
    goods = sum((m.goods * spent.market.suppliers[n].worth for n, m in solution.paid.items()), Fraction(0))
    total, whole_goods = amount_of(solution.total, currency), amount_of(half_up_of(goods), currency)
    line_by_line = amount_of(solution.line_by_line[0], currency) if solution.line_by_line else None
    return CostPoint(
        boards=spent.boards,
        total=total,
        per_board=rounded(total / spent.all_boards, currency),
        goods=whole_goods,
        beside_goods=total - whole_goods,
        suppliers=len(solution.paid),
        line_by_line=None if line_by_line is None else rounded(line_by_line / spent.all_boards, currency),
        optimal=solution.optimal,
        causes=tuple(_causes(spent, before)) if before else (),
    )


def _causes(spent: _Cost, before: _Cost) -> list[str]:
    """What each part and supplier adds to the change of the cost of a board, as far as it is worth a word.

    Were everything bought in proportion, a board would cost the same; each cause is what it costs beyond that.
    """
    growth = Fraction(spent.all_boards, before.all_boards)
    found: list[tuple[Fraction, str]] = []
    for key in {**before.parts, **spent.parts}:
        old, new = before.parts.get(key), spent.parts.get(key)
        change = (new.cost if new else Fraction(0)) - (old.cost if old else Fraction(0)) * growth
        found.append((change, _of_part(old, new)))
    for name in dict.fromkeys((*before.solution.paid, *spent.solution.paid)):
        change = spent.beside(name) - before.beside(name) * growth
        found.append((change, _of_supplier(name, before, spent)))
    least = WORTH_A_WORD * spent.solution.total
    told = sorted((c for c in found if abs(c[0]) >= least), key=lambda c: (-abs(c[0]), c[1]))
    return [_said(change / spent.all_boards, words, spent.market.currency) for change, words in told[:MOST_CAUSES]]


def _said(change: Fraction, words: str, currency: str) -> str:
    amount = amount_of(half_up_of(abs(change)), currency)
    return f"{words} ({'+' if change > 0 else '-'}{amount} a board)"


def _of_part(old: _PartCost | None, new: _PartCost | None) -> str:
    if new is None or not new.prices:
        return f"{old.part.name} no longer bought" if old else ""
    name = new.part.name
    if old is None or not old.prices:
        return f"{name} bought too"
    if new.prices != old.prices and len(new.prices) == len(old.prices) == 1:
        (was, price_was, _), (at, price, currency) = old.prices[0], new.prices[0]
        there = f" at {at}" if was != at else ""
        return f"{name} for {price_text(price, currency)} instead of {price_text(price_was, currency)}{there}"
    if new.quantity == old.quantity:
        return f"{name}: the {plain(old.quantity)} bought before are enough"
    return f"{name}: {plain(new.quantity)} instead of {plain(old.quantity)}"


def _of_supplier(name: str, before: _Cost, spent: _Cost) -> str:
    old, new = before.solution.paid.get(name), spent.solution.paid.get(name)
    if old is None:
        return f"freight, fee and tax of {name}, which gets an order too"
    if new is None:
        return f"no order to {name}"
    if old.shipping and not new.shipping:
        return f"freight of {name} free"
    if new.shipping and not old.shipping:
        return f"freight of {name} no longer free"
    return f"freight and fee of {name} over more boards"


def steps(points: Sequence[CostPoint]) -> Iterator[CostPoint]:
    """The points at which something worth a word happens."""
    return (point for point in points if point.causes)
