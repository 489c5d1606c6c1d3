"""The order as a mixed-integer linear program, solved by HiGHS through scipy.

Unknown are: which column each wish is met by, how many extra steps, how many steps of each share of a split part,
which suppliers are used, which of them ship free, and the rounded tax and converted total of each. Rounding half up is
exact: of a sum x/d, the least whole t with 2 d t >= 2 x - d + 1 is x/d rounded half up.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING

from msgspec import Struct, field

from boardgen.purchasing.columns import Column, Share, Split
from boardgen.purchasing.exact import SCALE
from boardgen.purchasing.market import Supplier

if TYPE_CHECKING:
    from scipy.optimize import OptimizeResult

Terms = dict[int, float]
"""Unknowns by number, each with its factor."""
ENDLESS = float("inf")


class Program(Struct):
    """Unknowns from 0 on, all whole, with their upper limits and costs; and rows low <= sum <= high."""

    upper: list[float] = field(default_factory=list)
    cost: list[float] = field(default_factory=list)
    row: list[int] = field(default_factory=list)
    unknown: list[int] = field(default_factory=list)
    factor: list[float] = field(default_factory=list)
    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)

    def new(self, upper: float = 1.0, cost: float = 0.0) -> int:
        """One more unknown."""
        self.upper.append(upper)
        self.cost.append(cost)
        return len(self.upper) - 1

    def limit(self, terms: Terms, low: float = -ENDLESS, high: float = ENDLESS) -> None:
        """One more row."""
        self.row.extend([len(self.low)] * len(terms))
        self.unknown.extend(terms)
        self.factor.extend(terms.values())
        self.low.append(low)
        self.high.append(high)

    def rounded(self, terms: Terms, fineness: int, cost: float = 0.0) -> int:
        """One more unknown that is at least the sum rounded half up; the sum is a multiple of 1 / fineness."""
        found = self.new(ENDLESS, cost)
        self.limit({found: 1.0, **{n: -factor for n, factor in terms.items()}}, low=0.5 / fineness - 0.5)
        return found

    def solve(self, time_limit_s: float | None) -> OptimizeResult:
        """HiGHS's answer, without any gap unless time runs out."""
        import numpy as np
        from scipy.optimize import Bounds, LinearConstraint, milp
        from scipy.sparse import csr_array

        shape = (len(self.low), len(self.upper))
        matrix = csr_array((self.factor, (self.row, self.unknown)), shape=shape)
        options: dict[str, float] = {"mip_rel_gap": 0.0}
        if time_limit_s is not None:
            options["time_limit"] = time_limit_s
        return milp(
            np.array(self.cost),
            integrality=np.ones(shape[1]),
            bounds=Bounds(0.0, np.array(self.upper)),
            constraints=LinearConstraint(matrix, np.array(self.low, float), np.array(self.high, float)),
            options=options,
        )


class BuiltSplit(Struct, frozen=True):
    """The part that is split, its shares by the unknown number of steps, and the unknown of each wish it may meet."""

    split: Split
    steps: Mapping[int, Share]
    meets: Mapping[int, int]


class Built(Struct, frozen=True):
    """A program with what its unknowns stand for, by number.

    `extras` has the unknown extra steps of columns; or else `toppings` the unknown value of all of them together, by
    supplier.
    """

    program: Program
    columns: Mapping[int, Column]
    extras: Mapping[int, int]
    toppings: Mapping[str, int]
    splits: Sequence[BuiltSplit]
    used: Mapping[str, int]


def build(
    wishes: int,
    columns: Sequence[Column],
    splits: Sequence[Split],
    suppliers: Mapping[str, Supplier],
    *,
    minimum: bool,
    topped: bool = False,
) -> Built:
    """The program of least landed cost. With `minimum` false, least orders of suppliers are left out of account.

    Extra steps are unknown line by line; or, `topped`, only their value at each supplier is, as if any could be made
    of them. That is solved many times faster, and its cost is never above the true one.
    """
    made = Program()
    used = {name: made.new() for name in suppliers}
    spent = _Spent(made, {name: {} for name in suppliers}, _toppings(made, columns, suppliers, used) if topped else {})
    met: list[Terms] = [{} for _ in range(wishes)]
    bought: dict[int, Terms] = {}
    linked: dict[tuple[int, str], Terms] = {}
    by_unknown, extras = {}, {}
    for column in columns:
        unknown = made.new()
        by_unknown[unknown] = column
        for wish in column.covers:
            met[wish][unknown] = 1.0
        bought.setdefault(id(column.part), {})[unknown] = 1.0
        if column.lot is not None:
            name = column.lot.offer.supplier
            for wish in column.covers:
                linked.setdefault((wish, name), {})[unknown] = 1.0
            if (steps := spent.column(name, unknown, column)) is not None:
                extras[unknown] = steps
    built_splits = [_add_split(spent, split, met, used) for split in splits]
    for terms in met:
        made.limit(terms, 1.0, 1.0)
    for terms in bought.values():
        if len({column for n in terms for column in by_unknown[n].covers}) > 1:
            made.limit(terms, high=1.0)
    for (_, name), terms in linked.items():
        made.limit({**terms, used[name]: -1.0}, high=0.0)
    for name, supplier in suppliers.items():
        _pay(made, spent.on[name], used[name], supplier, minimum=minimum)
    return Built(made, by_unknown, extras, spent.toppings, built_splits, used)


def _toppings(
    made: Program, columns: Sequence[Column], suppliers: Mapping[str, Supplier], used: Mapping[str, int]
) -> dict[str, int]:
    """One unknown value of goods for each supplier of whom more than is wanted may be bought."""
    names = dict.fromkeys(c.lot.offer.supplier for c in columns if c.lot is not None and c.extra is not None)
    found = {}
    for name in names:
        most = float(suppliers[name].worth_reaching)
        found[name] = made.new(most)
        made.limit({found[name]: 1.0, used[name]: -most}, high=0.0)
    return found


class _Spent(Struct):
    """The goods of each supplier, as terms."""

    program: Program
    on: dict[str, Terms]
    toppings: Mapping[str, int]

    def __post_init__(self) -> None:
        for name, unknown in self.toppings.items():
            self.on[name][unknown] = 1.0

    def column(self, name: str, unknown: int, column: Column) -> int | None:
        """Counts a column, and gives the number of its unknown extra steps."""
        extra = column.extra
        if extra is None or column.lot is None or self.toppings:
            self.on[name][unknown] = float(column.cost)
            return None
        steps = self.program.new(float(extra.most))
        self.program.limit({steps: 1.0, unknown: -float(extra.most)}, high=0.0)
        if extra.each is not None:
            self.on[name] |= {unknown: float(column.cost), steps: float(extra.each)}
        else:
            divisor = column.lot.divisor
            factors = {
                unknown: Fraction(column.quantity * extra.price, divisor),
                steps: Fraction(extra.step * extra.price, divisor),
            }
            line = self._line(name, factors)
            self.program.limit({line: 1.0, unknown: -float(column.cost)}, low=0.0)
        return steps

    def share(self, name: str, unknown: int, share: Share) -> None:
        """Counts so many steps of a share."""
        if share.each is not None:
            self.on[name][unknown] = float(share.each)
        else:
            self._line(name, {unknown: Fraction(share.lot.step * share.price, share.lot.divisor)})

    def _line(self, name: str, factors: Mapping[int, Fraction]) -> int:
        """The unknown cost of a line that has to be rounded; it must not be more either, or it would reach a limit."""
        terms = {n: float(factor) for n, factor in factors.items()}
        line = self.program.rounded(terms, math.lcm(*(factor.denominator for factor in factors.values())))
        self.program.limit({line: 1.0, **{n: -factor for n, factor in terms.items()}}, high=0.5)
        self.on[name][line] = 1.0
        return line


def _add_split(spent: _Spent, split: Split, met: list[Terms], used: Mapping[str, int]) -> BuiltSplit:
    """Shares of a part; at most one price break of an offer. Its wishes may be met by it or by a column."""
    made = spent.program
    steps_of: dict[int, Share] = {}
    meets: dict[int, int] = {}
    breaks: dict[int, Terms] = {}
    bought: Terms = {}
    for share in split.shares:
        name = share.lot.offer.supplier
        taken, steps = made.new(), made.new(float(share.high))
        steps_of[steps] = share
        made.limit({steps: 1.0, taken: -float(share.high)}, high=0.0)
        made.limit({steps: 1.0, taken: -float(share.low)}, low=0.0)
        made.limit({taken: 1.0, used[name]: -1.0}, high=0.0)
        breaks.setdefault(id(share.lot), {})[taken] = 1.0
        bought[steps] = share.lot.step / SCALE
        spent.share(name, steps, share)
    for terms in breaks.values():
        made.limit(terms, high=1.0)
    for wish, wanted in split.wants.items():
        chosen = meets[wish] = made.new()
        met[wish][chosen] = 1.0
        bought[chosen] = -wanted / SCALE
    made.limit(bought, low=-split.free / SCALE)
    # nothing is bought of a part of which enough is in hand for the wishes it meets, not even to reach a limit
    needed = made.new()
    wants = {chosen: float(split.wants[wish]) for wish, chosen in meets.items()}
    made.limit({**wants, needed: -float(split.free + 1)}, low=0.0)
    for terms in breaks.values():
        made.limit({**terms, needed: -1.0}, high=0.0)
    return BuiltSplit(split, steps_of, meets)


def _pay(made: Program, goods: Terms, used: int, supplier: Supplier, *, minimum: bool) -> None:
    """What the supplier is paid, at its cost in the order's currency."""
    paid = {**goods, used: float(supplier.shipping + supplier.fee)}
    if supplier.free_from is not None and supplier.shipping:
        free = made.new()
        made.limit({free: 1.0, used: -1.0}, high=0.0)
        made.limit({**goods, free: -float(supplier.free_from)}, low=0.0)
        paid[free] = -float(supplier.shipping)
    if minimum and supplier.minimum:
        made.limit({**goods, used: -float(supplier.minimum)}, low=0.0)
    if supplier.tax:
        rate = float(supplier.tax)
        tax = made.rounded({n: rate * factor for n, factor in paid.items()}, supplier.tax.denominator)
        paid[tax] = 1.0
    if supplier.worth == 1:
        for unknown, factor in paid.items():
            made.cost[unknown] += factor
    else:
        worth = float(supplier.worth)
        made.rounded({n: worth * factor for n, factor in paid.items()}, supplier.worth.denominator, cost=1.0)
