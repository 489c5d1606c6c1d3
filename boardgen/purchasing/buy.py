"""The cheapest way to meet all wishes: chosen by the program, then calculated again in decimals and judged."""

from __future__ import annotations

import math
import time
from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

from msgspec import Struct

from boardgen.model.part import Part
from boardgen.purchasing.columns import Wish, columns
from boardgen.purchasing.deal import Deal, deals_of, landed, total
from boardgen.purchasing.exact import scaled
from boardgen.purchasing.market import Market, Money
from boardgen.purchasing.naive import Ways, line_by_line
from boardgen.purchasing.order import Goal
from boardgen.purchasing.program import Built, build

if TYPE_CHECKING:
    from scipy.optimize import OptimizeResult

NOBODY: Mapping[Part, Decimal] = {}
CLOSE = 1e-4
"""How far the solver's bound may lie above a whole number and still mean it."""
INFEASIBLE = 2
"""The status by which scipy says that nothing meets all rows."""


class Bought(Struct, frozen=True):
    """A way to meet all wishes. Amounts are in the smallest unit of the market's currency.

    `total` is what is paid, `bound` what can at least not be undercut; `optimal` where they are equal. `naive` is what
    buying line by line would cost, with so many suppliers, None where that cannot be done. `short_of_stock` are the
    parts of which all suppliers together have too few.
    """

    deals: tuple[Deal, ...]
    paid: Mapping[str, Money]
    total: int
    bound: int
    optimal: bool
    reason: str
    naive: tuple[int, int] | None
    short_of_stock: frozenset[Part]


def buy(
    wishes: Sequence[Wish],
    market: Market,
    free: Mapping[Part, Decimal] = NOBODY,
    goal: Goal = "least cost",
    time_limit_s: float | None = None,
) -> Bought:
    """The cheapest landed cost at which every wish is met; each has an offer of its part or of an allowed one.

    `free` is what is in hand of a part beyond its own wish. Suppliers' stock and least orders are kept wherever that is
    possible at all. When time runs out it is the best that was found, never dearer than buying line by line.
    """
    short = _short_of_stock(wishes, market, free)
    ready = columns(wishes, market, free, short)
    naive = line_by_line(wishes, market, free, short, ready)
    paid = landed(naive, market) if naive is not None else {}
    found = _Search(wishes, market, free, short, goal, time_limit_s).best(ready) if wishes else _Found((), 0.0, "")
    deals, bound, reason = found.deals, found.bound, found.reason
    dearer = goal == "least cost" and total(landed(deals, market)) > total(paid)
    if naive is not None and (not deals or dearer):
        deals = naive
    spent = landed(deals, market)
    least = max(_least(ready, market), math.ceil(bound - CLOSE))
    cost = total(spent)
    return Bought(
        deals,
        spent,
        cost,
        min(least, cost),
        least >= cost and not reason,
        reason,
        (total(paid), len(paid)) if naive is not None else None,
        short,
    )


def _least(ways: Ways, market: Market) -> int:
    """A bound that needs no solver: every wish at its share of the cheapest column that meets it, with tax.

    Parts that may be split count for nothing; each supplier's tax and rate may round down by half a unit.
    """
    least: dict[int, Fraction] = {}
    for column in ways[0]:
        cost = Fraction(0)
        if column.lot is not None:
            supplier = market.suppliers[column.lot.offer.supplier]
            cost = column.cost * (1 + supplier.tax) * supplier.worth / len(column.covers)
        for wish in column.covers:
            least[wish] = min(cost, least.get(wish, cost))
    for split in ways[1]:
        least |= dict.fromkeys(split.wants, Fraction(0))
    rounding = sum((supplier.worth + 1) / 2 for supplier in market.suppliers.values())
    return max(0, math.floor(sum(least.values()) - rounding))


class _Found(Struct, frozen=True):
    deals: tuple[Deal, ...]
    bound: float
    reason: str


class _Search(Struct, frozen=True):
    wishes: Sequence[Wish]
    market: Market
    free: Mapping[Part, Decimal]
    short: frozenset[Part]
    goal: Goal
    time_limit_s: float | None

    def best(self, ready: Ways) -> _Found:
        """Tries with least orders, then without them, then without limits of stock."""
        begun = time.monotonic()
        every = frozenset(part for wish in self.wishes for part in (wish.part, *wish.allowed))
        found = None
        for minimum, short in ((True, self.short), (False, self.short), (False, every)):
            ways = ready if short == self.short else columns(self.wishes, self.market, self.free, short)
            found = self._of(ways, begun, minimum=minimum)
            if found is not None:
                return found
        return _Found((), 0.0, "nothing meets all needs")

    def _of(self, ways: Ways, begun: float, *, minimum: bool) -> _Found | None:
        """The best with these limits, None where nothing meets them. Topping up as a sum is tried first."""
        for topped in (True, False):
            built = build(len(self.wishes), *ways, self.market.suppliers, minimum=minimum, topped=topped)
            answer, reason = self._solved(built, begun)
            if answer.status == INFEASIBLE:
                return None
            deals = deals_of(built, answer) if answer.x is not None else ()
            bound = answer.mip_dual_bound
            if deals is not None:
                break
        return _Found(deals or (), bound if bound is not None and math.isfinite(bound) else 0.0, reason)

    def _solved(self, built: Built, begun: float) -> tuple[OptimizeResult, str]:
        program = built.program
        reason = ""
        if self.goal == "fewest parcels":
            cost, program.cost = program.cost, [0.0] * len(program.cost)
            for used in built.used.values():
                program.cost[used] = 1.0
            answer = program.solve(self._left(begun))
            program.cost = cost
            if answer.x is None:
                return answer, _said(answer)
            parcels = sum(round(answer.x[used]) for used in built.used.values())
            reason = "" if parcels <= math.ceil(answer.mip_dual_bound - CLOSE) else "fewer parcels may be possible"
            program.limit(dict.fromkeys(built.used.values(), 1.0), high=float(parcels))
        answer = program.solve(self._left(begun))
        return answer, reason or _said(answer)

    def _left(self, begun: float) -> float | None:
        """Seconds that are left."""
        return None if self.time_limit_s is None else max(0.01, self.time_limit_s - (time.monotonic() - begun))


def _said(answer: OptimizeResult) -> str:
    return "" if answer.status == 0 else "the time limit was reached"


def _short_of_stock(wishes: Sequence[Wish], market: Market, free: Mapping[Part, Decimal]) -> frozenset[Part]:
    """The parts, or what may stand in for them, of which all suppliers together have too few."""
    short: set[Part] = set()
    for wish in wishes:
        sold = [part for part in (wish.part, *wish.allowed) if market.of(part) or free.get(part)]
        if sold and not any(_enough(part, wish.wanted, market, free) for part in sold):
            short.add(sold[0])
    return frozenset(short)


def _enough(part: Part, wanted: Decimal, market: Market, free: Mapping[Part, Decimal]) -> bool:
    lots = market.lots(part)
    if any(lot.most is None for lot in lots):
        return True
    in_stock = sum(lot.most or 0 for lot in lots if lot.least(0) <= (lot.most or 0))
    return in_stock + scaled(free.get(part, Decimal(0))) >= scaled(wanted)
