"""Speed of the choice of an order as ratios to the solver alone, in one run. Exit 1 above a limit.

The peer is HiGHS, called through scipy, on a program that is built already and counts no time for building: every
price break of every offer an option of its own, nothing left out. Ours starts from the offers, buys line by line for
comparison, builds, solves, and calculates everything again in decimals.
"""

from __future__ import annotations

import os

os.environ["OPENBLAS_NUM_THREADS"] = "1"

import random
import sys
import time
from datetime import date
from decimal import Decimal

from timing import by_turns

from boardgen.model.part import Part
from boardgen.purchasing.buy import Solution, buy
from boardgen.purchasing.integer_scaling import scaled
from boardgen.purchasing.market import Market, market
from boardgen.purchasing.offer import Break, Offer
from boardgen.purchasing.order import SupplierTerms
from boardgen.purchasing.program import IntegerProgram, order_program
from boardgen.purchasing.purchase_options import PurchaseOption, Requirement, purchase_options

DAY = date(2026, 11, 1)
FROM = (1, 10, 25, 100, 250, 1000)
MOST_TIMES_THE_SOLVER = 2.0
LIMIT_S = 20.0
"""What the large case may take before it states its gap."""


def made_up(
    parts: int, suppliers: int, breaks: int, seed: int
) -> tuple[list[Requirement], list[Offer], list[SupplierTerms]]:
    """Prices with four decimals that fall by 8 % a break; freight, some of it free from a value on; taxes."""
    draw = random.Random(seed)
    requirements, offers = [], []
    for number in range(parts):
        part = Part(f"part-{number}", "part", "Maker", f"N{number}", "a part", "", "assumed", "made up")
        requirements.append(Requirement(part, Decimal(draw.randint(2, 60))))
        base = draw.randint(1000, 80_000)
        for name in range(suppliers):
            first = base * draw.uniform(0.8, 1.2)
            steps = tuple(
                Break(Decimal(start), Decimal(round(first * 0.92**n)).scaleb(-4))
                for n, start in enumerate(FROM[:breaks])
            )
            multiple = Decimal(draw.choice([1, 1, 1, 5, 10]))
            stock = Decimal(draw.randint(60, 5000))
            offers.append(
                Offer(part.key, f"S{name}", part.number, "CAD", steps, Decimal(1), multiple, stock, 5, DAY, False, "")
            )
    terms = [
        SupplierTerms(
            f"S{name}",
            "CAD",
            Decimal(draw.randint(500, 2500)).scaleb(-2),
            Decimal(draw.randint(50, 400)) if draw.random() < 0.7 else None,
            Decimal(draw.choice([0, 0, 5])),
            Decimal(draw.choice([0, 5, 13])),
            Decimal(draw.choice([20, 25, 50])) if draw.random() < 0.4 else None,
            DAY,
        )
        for name in range(suppliers)
    ]
    return requirements, offers, terms


def every_break(requirements: list[Requirement], made: Market) -> IntegerProgram:
    """The program with an option for every price break, and the value of top-ups as in ours."""
    found = []
    ours = purchase_options(requirements, made, {})[0]
    top_ups = {(o.covers, id(o.offer), o.quantity): o.top_up for o in ours if o.offer}
    for number, required in enumerate(requirements):
        for offer in made.scaled_offers(required.part):
            for price_break in offer.breaks:
                quantity = offer.least(max(scaled(required.quantity), price_break.low))
                if offer.most is None or quantity <= offer.most:
                    top_up = top_ups.get(((number,), id(offer), quantity))
                    cost = offer.cost(quantity, offer.price(quantity))
                    found.append(PurchaseOption((number,), required.part, offer, quantity, cost, top_up))
    return order_program(len(requirements), found, (), made.suppliers, minimum=True, summed=True).program


def told(case: str, bought: Solution) -> str:
    """What was found."""
    total, line_by_line = bought.total / 100, bought.line_by_line[0] / 100 if bought.line_by_line else float("nan")
    proof = (
        "proven optimal" if bought.optimal else f"at most {(bought.total - bought.bound) / 100:.2f} less is possible"
    )
    return f"{case}: {total:.2f}, line by line {line_by_line:.2f}; {proof}\n"


def main() -> int:
    """Prints each ratio with its limit."""
    failed = 0
    for seed in (1, 2, 3):
        requirements, offers, terms = made_up(60, 5, 5, seed)

        def ours(
            w: list[Requirement] = requirements, o: list[Offer] = offers, t: list[SupplierTerms] = terms
        ) -> Solution:
            return buy(w, market(o, t, (), "CAD")[0])

        bought = ours()
        program = every_break(requirements, market(offers, terms, (), "CAD")[0])
        answer = program.solve(None)
        same = abs(answer.fun - bought.total) < 0.5
        solver, whole = by_turns([lambda p=program: p.solve(None), ours], 7)
        ratio = whole / solver
        met = ratio <= MOST_TIMES_THE_SOLVER and same and bought.optimal
        failed += not met
        sys.stdout.write(told(f"60 parts, 5 suppliers, 5 breaks, case {seed}", bought))
        sys.stdout.write(
            f"  ours / the solver alone, {solver * 1e3:.0f} ms: {ratio:.2f}, at most {MOST_TIMES_THE_SOLVER:g}: "
            f"{'met' if met else 'FALLS SHORT'}\n"
        )
    requirements, offers, terms = made_up(200, 8, 6, 1)
    start = time.perf_counter()
    bought = buy(requirements, market(offers, terms, (), "CAD")[0], time_limit_s=LIMIT_S)
    taken = time.perf_counter() - start
    failed += not (bought.optimal or bought.reason) or taken > LIMIT_S * 1.5
    sys.stdout.write(told("200 parts, 8 suppliers, 6 breaks", bought) + f"  in {taken:.2f} s of {LIMIT_S:g}\n")
    return 1 if failed else 0


if __name__ == "__main__":
    raise SystemExit(main())
