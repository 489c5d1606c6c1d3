"""The cheapest way to meet all requirements: chosen by the program, then calculated again in decimals and judged."""

from __future__ import annotations

import math
import time
from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

from msgspec import Struct

from boardgen.model.part import Part
from boardgen.purchasing.allocation import Allocation, allocations_of, landed, total
from boardgen.purchasing.integer_scaling import scaled
from boardgen.purchasing.line_by_line import line_by_line
from boardgen.purchasing.market import Market, Payment
from boardgen.purchasing.order import Goal
from boardgen.purchasing.program import OrderProgram, order_program
from boardgen.purchasing.purchase_options import Options, Requirement, purchase_options

if TYPE_CHECKING:
    from scipy.optimize import OptimizeResult

NOTHING: Mapping[Part, Decimal] = {}
CLOSE = 1e-4
"""How far the solver's bound may lie above a whole number and still mean it."""
INFEASIBLE = 2
"""The status by which scipy says that nothing meets all constraints."""


class Solution(Struct, frozen=True):
    """A way to meet all requirements. Amounts are in the smallest unit of the market's currency.

    `total` is what is paid, `bound` what can at least not be undercut; `optimal` where they are equal. `line_by_line`
    is what the baseline would cost, with so many suppliers, None where it cannot be bought. `short_of_stock` are the
    parts of which all suppliers together have too few.
    """

    allocations: tuple[Allocation, ...]
    paid: Mapping[str, Payment]
    total: int
    bound: int
    optimal: bool
    reason: str
    line_by_line: tuple[int, int] | None
    short_of_stock: frozenset[Part]


def buy(
    requirements: Sequence[Requirement],
    market: Market,
    free: Mapping[Part, Decimal] = NOTHING,
    goal: Goal = "least cost",
    time_limit_s: float | None = None,
) -> Solution:
    """The cheapest landed cost at which every requirement is met, as `boardgen.purchasing.program` formulates it.

    Suppliers' stock and least orders are kept wherever that is possible at all. When time runs out it is the best that
    was found, never dearer than the baseline.

    Parameters
    ----------
    requirements
        What must be bought; of each, its part or one of its alternates has an offer or is in stock.
    market
        Who sells what, on what terms.
    free
        What is in stock of a part beyond its own requirement, in the part's unit.
    goal
        Least cost, or fewest suppliers and among those least cost.
    time_limit_s
        Seconds for the solver; None for no limit.

    """
    short = _short_of_stock(requirements, market, free)
    ready = purchase_options(requirements, market, free, short)
    baseline = line_by_line(requirements, market, free, short, ready)
    paid = landed(baseline, market) if baseline is not None else {}
    search = _Search(requirements, market, free, short, goal, time_limit_s)
    found = search.best(ready) if requirements else _Found((), 0.0, "")
    allocations, bound, reason = found.allocations, found.bound, found.reason
    dearer = goal == "least cost" and total(landed(allocations, market)) > total(paid)
    if baseline is not None and (not allocations or dearer):
        allocations = baseline
    spent = landed(allocations, market)
    least = max(_least(ready, market), math.ceil(bound - CLOSE))
    cost = total(spent)
    return Solution(
        allocations,
        spent,
        cost,
        min(least, cost),
        least >= cost and not reason,
        reason,
        (total(paid), len(paid)) if baseline is not None else None,
        short,
    )


def _least(ways: Options, market: Market) -> int:
    """A bound that needs no solver: every requirement at its share of the cheapest option that meets it, with tax.

    Parts that may be split count for nothing; each supplier's tax and rate may round down by half a unit.
    """
    options, splits = ways
    least: dict[int, Fraction] = {}
    for option in options:
        cost = Fraction(0)
        if option.offer is not None:
            supplier = market.suppliers[option.offer.supplier]
            cost = option.cost * (1 + supplier.tax) * supplier.worth / len(option.covers)
        for requirement in option.covers:
            least[requirement] = min(cost, least.get(requirement, cost))
    for split in splits:
        least |= dict.fromkeys(split.quantities, Fraction(0))
    rounding = sum((supplier.worth + 1) / 2 for supplier in market.suppliers.values())
    return max(0, math.floor(sum(least.values()) - rounding))


class _Found(Struct, frozen=True):
    allocations: tuple[Allocation, ...]
    bound: float
    reason: str


class _Search(Struct, frozen=True):
    requirements: Sequence[Requirement]
    market: Market
    free: Mapping[Part, Decimal]
    short: frozenset[Part]
    goal: Goal
    time_limit_s: float | None

    def best(self, ready: Options) -> _Found:
        """Tries with least orders, then without them, then without limits of stock."""
        begun = time.monotonic()
        every = frozenset(part for required in self.requirements for part in (required.part, *required.alternates))
        for minimum, short in ((True, self.short), (False, self.short), (False, every)):
            ways = ready if short == self.short else purchase_options(self.requirements, self.market, self.free, short)
            found = self._of(ways, begun, minimum=minimum)
            if found is not None:
                return found
        return _Found((), 0.0, "nothing meets all needs")

    def _of(self, ways: Options, begun: float, *, minimum: bool) -> _Found | None:
        """The best with these limits, None where nothing meets them. Top-ups as one value are tried first."""
        for summed in (True, False):
            made = order_program(len(self.requirements), *ways, self.market.suppliers, minimum=minimum, summed=summed)
            answer, reason = self._solved(made, begun)
            if answer.status == INFEASIBLE:
                return None
            allocations = allocations_of(made, answer) if answer.x is not None else ()
            bound = answer.mip_dual_bound
            if allocations is not None:
                break
        return _Found(allocations or (), bound if bound is not None and math.isfinite(bound) else 0.0, reason)

    def _solved(self, made: OrderProgram, begun: float) -> tuple[OptimizeResult, str]:
        program = made.program
        reason = ""
        if self.goal == "fewest parcels":
            cost, program.cost = program.cost, [0.0] * len(program.cost)
            for used in made.used.values():
                program.cost[used] = 1.0
            answer = program.solve(self._left(begun))
            program.cost = cost
            if answer.x is None:
                return answer, _said(answer)
            parcels = sum(round(answer.x[used]) for used in made.used.values())
            reason = "" if parcels <= math.ceil(answer.mip_dual_bound - CLOSE) else "fewer parcels may be possible"
            program.constrain(dict.fromkeys(made.used.values(), 1.0), high=float(parcels))
        answer = program.solve(self._left(begun))
        return answer, reason or _said(answer)

    def _left(self, begun: float) -> float | None:
        """Seconds that are left."""
        return None if self.time_limit_s is None else max(0.01, self.time_limit_s - (time.monotonic() - begun))


def _said(answer: OptimizeResult) -> str:
    return "" if answer.status == 0 else "the time limit was reached"


def _short_of_stock(
    requirements: Sequence[Requirement], market: Market, free: Mapping[Part, Decimal]
) -> frozenset[Part]:
    """The parts, or what may stand in for them, of which all suppliers together have too few."""
    short: set[Part] = set()
    for required in requirements:
        sold = [part for part in (required.part, *required.alternates) if market.of(part) or free.get(part)]
        if sold and not any(_enough(part, required.quantity, market, free) for part in sold):
            short.add(sold[0])
    return frozenset(short)


def _enough(part: Part, quantity: Decimal, market: Market, free: Mapping[Part, Decimal]) -> bool:
    offers = market.scaled_offers(part)
    if any(offer.most is None for offer in offers):
        return True
    in_stock = sum(offer.most or 0 for offer in offers if offer.least(0) <= (offer.most or 0))
    return in_stock + scaled(free.get(part, Decimal(0))) >= scaled(quantity)
