"""Choice of suppliers and quantities as a mixed-integer linear program, solved by HiGHS.

Algorithm: branch and cut over the dual simplex method, `scipy.optimize.milp`; Q. Huangfu and J. A. J. Hall,
"Parallelizing the dual revised simplex method", Mathematical Programming Computation 10 (2018).

Variables, all whole and from 0 on
    x[o]     option o is taken (0 or 1); t[o] its steps of top-up, or t[s] the value of all top-ups at supplier s
    n[h]     steps of share h of a split part, taken or not y[h], for requirement r or not z[r]
    u[s]     supplier s gets an order (0 or 1); f[s] it ships free (0 or 1)
    tax[s], total[s], line[l]    amounts that are rounded half up

Minimise
    the sum over suppliers of total[s], the amount paid in the currency of the order

Subject to
    sum of x[o] over the options that cover r, and z[r] = 1             each requirement is met once
    sum of x[o] over the options of s that cover r <= u[s]              only suppliers with an order sell
    goods[s] = sum of cost[o] x[o] + top-ups + shares
    goods[s] >= free from[s] f[s],  f[s] <= u[s]                        freight is free from a value of goods on
    goods[s] >= minimum order[s] u[s]
    net[s] = goods[s] + (shipping[s] + fee[s]) u[s] - shipping[s] f[s]
    tax[s] = round(rate of tax[s] x net[s]),  total[s] = round(rate[s] x (net[s] + tax[s]))

Rounding half up is linear: of a sum x/d, the least whole t with 2 d t >= 2 x - d + 1 is x/d rounded half up.

Cost: about one variable an option and, for each requirement, one constraint and one more a supplier. In the worst case
branch and cut is exponential; 60 parts of 5 suppliers with 5 price breaks take about 30 ms
(tests/bench/order_bench.py). A limit on time leaves the best that was found, and a bound.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING

from msgspec import Struct, field

from boardgen.model.part import Part
from boardgen.purchasing.integer_scaling import SCALE, ScaledOffer
from boardgen.purchasing.market import Supplier
from boardgen.purchasing.purchase_options import PurchaseOption, SplitPurchase, SplitShare

if TYPE_CHECKING:
    from scipy.optimize import OptimizeResult

LinearSum = dict[int, float]
"""Variables by number, each with its coefficient."""
ENDLESS = float("inf")


class IntegerProgram(Struct):
    """Variables from 0 on, all whole, with their upper bounds and costs; and constraints low <= sum <= high.

    The matrix of coefficients is kept as three lists: row, column, value.
    """

    upper: list[float] = field(default_factory=list)
    cost: list[float] = field(default_factory=list)
    row: list[int] = field(default_factory=list)
    column: list[int] = field(default_factory=list)
    value: list[float] = field(default_factory=list)
    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)

    def variable(self, upper: float = 1.0, cost: float = 0.0) -> int:
        """Adds a variable and gives its number."""
        self.upper.append(upper)
        self.cost.append(cost)
        return len(self.upper) - 1

    def constrain(self, terms: LinearSum, low: float = -ENDLESS, high: float = ENDLESS) -> None:
        """Adds a constraint."""
        self.row.extend([len(self.low)] * len(terms))
        self.column.extend(terms)
        self.value.extend(terms.values())
        self.low.append(low)
        self.high.append(high)

    def rounded(self, terms: LinearSum, denominator: int, cost: float = 0.0) -> int:
        """Adds a variable that is at least the sum rounded half up; the sum is a multiple of 1 / denominator."""
        found = self.variable(ENDLESS, cost)
        self.constrain({found: 1.0, **{n: -value for n, value in terms.items()}}, low=0.5 / denominator - 0.5)
        return found

    def solve(self, time_limit_s: float | None) -> OptimizeResult:
        """The answer of HiGHS, without any gap unless time runs out.

        Parameters
        ----------
        time_limit_s
            Seconds after which the best that was found is taken; None for no limit.

        Returns
        -------
        `x` the variables by number, None where nothing was found; `mip_dual_bound` what no answer can undercut;
        `status` 0 for an optimum, 2 where nothing meets all constraints.

        """
        import numpy as np
        from scipy.optimize import Bounds, LinearConstraint, milp
        from scipy.sparse import csr_array

        shape = (len(self.low), len(self.upper))
        matrix = csr_array((self.value, (self.row, self.column)), shape=shape)
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


class SplitVariables(Struct, frozen=True):
    """A part that is split: its shares by the variable of their steps, and a variable for each requirement."""

    split: SplitPurchase
    steps: Mapping[int, SplitShare]
    meets: Mapping[int, int]


class OrderProgram(Struct, frozen=True):
    """A program with what its variables stand for.

    `options` and `splits` are what can be bought. `steps` has, by the variable of an option, that of its top-up; or
    else `top_ups`, by supplier, the variable of the value of all of them together. `used` is by supplier.
    """

    program: IntegerProgram
    options: Mapping[int, PurchaseOption]
    steps: Mapping[int, int]
    top_ups: Mapping[str, int]
    splits: Sequence[SplitVariables]
    used: Mapping[str, int]


def order_program(
    requirements: int,
    options: Sequence[PurchaseOption],
    splits: Sequence[SplitPurchase],
    suppliers: Mapping[str, Supplier],
    *,
    minimum: bool,
    summed: bool = False,
) -> OrderProgram:
    """The program of least landed cost.

    Parameters
    ----------
    requirements
        How many there are.
    options, splits
        What can be bought for them.
    suppliers
        Their terms, by name.
    minimum
        Whether suppliers' least orders are kept.
    summed
        Whether top-ups are one value for each supplier, as if any value could be made of steps. That is solved many
        times faster than steps line by line, and its cost is never above the true one.

    """
    program = IntegerProgram()
    used = {name: program.variable() for name in suppliers}
    goods = _Goods(
        program, {name: {} for name in suppliers}, _top_ups(program, options, suppliers, used) if summed else {}
    )
    met: list[LinearSum] = [{} for _ in range(requirements)]
    bought: dict[Part, LinearSum] = {}
    sold: dict[tuple[int, str], LinearSum] = {}
    by_variable, steps = {}, {}
    for option in options:
        taken = program.variable()
        by_variable[taken] = option
        for requirement in option.covers:
            met[requirement][taken] = 1.0
        bought.setdefault(option.part, {})[taken] = 1.0
        if option.offer is not None:
            for requirement in option.covers:
                sold.setdefault((requirement, option.offer.supplier), {})[taken] = 1.0
            if (more := goods.add_option(taken, option, option.offer)) is not None:
                steps[taken] = more
    split_variables = [_add_split(goods, split, met, used) for split in splits]
    for terms in met:
        program.constrain(terms, 1.0, 1.0)
    for terms in bought.values():
        if len({requirement for n in terms for requirement in by_variable[n].covers}) > 1:
            program.constrain(terms, high=1.0)
    for (_, name), terms in sold.items():
        program.constrain({**terms, used[name]: -1.0}, high=0.0)
    for name, supplier in suppliers.items():
        _pay(program, goods.by_supplier[name], used[name], supplier, minimum=minimum)
    return OrderProgram(program, by_variable, steps, goods.top_ups, split_variables, used)


def _top_ups(
    program: IntegerProgram,
    options: Sequence[PurchaseOption],
    suppliers: Mapping[str, Supplier],
    used: Mapping[str, int],
) -> dict[str, int]:
    """The value of what is bought beyond the requirements, for each supplier of whom more may be bought."""
    names = dict.fromkeys(o.offer.supplier for o in options if o.offer is not None and o.top_up is not None)
    found = {}
    for name in names:
        most = float(suppliers[name].worth_reaching)
        found[name] = program.variable(most)
        program.constrain({found[name]: 1.0, used[name]: -most}, high=0.0)
    return found


class _Goods(Struct):
    """The value of goods of each supplier, as sums of variables."""

    program: IntegerProgram
    by_supplier: dict[str, LinearSum]
    top_ups: Mapping[str, int]

    def __post_init__(self) -> None:
        for name, value in self.top_ups.items():
            self.by_supplier[name][value] = 1.0

    def add_option(self, taken: int, option: PurchaseOption, offer: ScaledOffer) -> int | None:
        """Counts an option, and gives the variable of its steps of top-up."""
        goods, top_up = self.by_supplier[offer.supplier], option.top_up
        if top_up is None or self.top_ups:
            goods[taken] = float(option.cost)
            return None
        steps = self.program.variable(float(top_up.most))
        self.program.constrain({steps: 1.0, taken: -float(top_up.most)}, high=0.0)
        if top_up.each is not None:
            goods |= {taken: float(option.cost), steps: float(top_up.each)}
        else:
            exact = {
                taken: Fraction(option.quantity * top_up.price, offer.divisor),
                steps: Fraction(top_up.step * top_up.price, offer.divisor),
            }
            line = self._rounded_line(offer.supplier, exact)
            self.program.constrain({line: 1.0, taken: -float(option.cost)}, low=0.0)
        return steps

    def add_share(self, steps: int, share: SplitShare) -> None:
        """Counts so many steps of a share."""
        name = share.offer.supplier
        if share.each is not None:
            self.by_supplier[name][steps] = float(share.each)
        else:
            self._rounded_line(name, {steps: Fraction(share.offer.step * share.price, share.offer.divisor)})

    def _rounded_line(self, name: str, exact: Mapping[int, Fraction]) -> int:
        """The cost of a line that has to be rounded; it must not be more either, or it would reach a limit."""
        terms = {n: float(value) for n, value in exact.items()}
        line = self.program.rounded(terms, math.lcm(*(value.denominator for value in exact.values())))
        self.program.constrain({line: 1.0, **{n: -value for n, value in terms.items()}}, high=0.5)
        self.by_supplier[name][line] = 1.0
        return line


def _add_split(goods: _Goods, split: SplitPurchase, met: list[LinearSum], used: Mapping[str, int]) -> SplitVariables:
    """Shares of a part; at most one price break of an offer. Its requirements may be met by it or by an option."""
    program = goods.program
    share_of: dict[int, SplitShare] = {}
    meets: dict[int, int] = {}
    breaks: dict[int, LinearSum] = {}
    bought: LinearSum = {}
    for share in split.shares:
        taken, steps = program.variable(), program.variable(float(share.high))
        share_of[steps] = share
        program.constrain({steps: 1.0, taken: -float(share.high)}, high=0.0)
        program.constrain({steps: 1.0, taken: -float(share.low)}, low=0.0)
        program.constrain({taken: 1.0, used[share.offer.supplier]: -1.0}, high=0.0)
        breaks.setdefault(id(share.offer), {})[taken] = 1.0
        bought[steps] = share.offer.step / SCALE
        goods.add_share(steps, share)
    for terms in breaks.values():
        program.constrain(terms, high=1.0)
    for requirement, quantity in split.quantities.items():
        chosen = meets[requirement] = program.variable()
        met[requirement][chosen] = 1.0
        bought[chosen] = -quantity / SCALE
    program.constrain(bought, low=-split.free / SCALE)
    # nothing is bought of a part of which enough is in stock for what it meets, not even to reach a limit
    needed = program.variable()
    quantities = {chosen: float(split.quantities[requirement]) for requirement, chosen in meets.items()}
    program.constrain({**quantities, needed: -float(split.free + 1)}, low=0.0)
    for terms in breaks.values():
        program.constrain({**terms, needed: -1.0}, high=0.0)
    return SplitVariables(split, share_of, meets)


def _pay(program: IntegerProgram, goods: LinearSum, used: int, supplier: Supplier, *, minimum: bool) -> None:
    """What the supplier is paid, at its cost in the order's currency."""
    paid = {**goods, used: float(supplier.shipping + supplier.fee)}
    if supplier.free_from is not None and supplier.shipping:
        free = program.variable()
        program.constrain({free: 1.0, used: -1.0}, high=0.0)
        program.constrain({**goods, free: -float(supplier.free_from)}, low=0.0)
        paid[free] = -float(supplier.shipping)
    if minimum and supplier.minimum:
        program.constrain({**goods, used: -float(supplier.minimum)}, low=0.0)
    if supplier.tax:
        rate = float(supplier.tax)
        tax = program.rounded({n: rate * value for n, value in paid.items()}, supplier.tax.denominator)
        paid[tax] = 1.0
    if supplier.worth == 1:
        for variable, value in paid.items():
            program.cost[variable] += value
    else:
        worth = float(supplier.worth)
        program.rounded({n: worth * value for n, value in paid.items()}, supplier.worth.denominator, cost=1.0)
