"""What an order falls short of once quantities and prices were entered by hand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from boardgen.model.problem import Place, Problem
from boardgen.purchasing.money import plain
from boardgen.purchasing.order import OrderLine, SupplierOrder
from boardgen.purchasing.order_problems import below_minimum, invented

_TOLD_ANEW = ("stock-short", "below-least-order", "price-invented", "terms-invented", "not-proven")


def requoted_problems(before: Sequence[Problem], suppliers: Sequence[SupplierOrder]) -> tuple[Problem, ...]:
    """What was said before and still holds, and what has to be said now."""
    known = {supplier.supplier for supplier in suppliers if supplier.terms.known}
    kept = (
        problem
        for problem in before
        if problem.id not in _TOLD_ANEW and not (problem.id == "terms-missing" and problem.place.key in known)
    )
    bought = [supplier for supplier in suppliers if supplier.goods]
    return (
        *kept,
        *(problem for supplier in suppliers for problem in _of_lines(supplier)),
        *_too_few(suppliers),
        *below_minimum(bought),
        *invented(bought),
    )


def _of_lines(supplier: SupplierOrder) -> Iterator[Problem]:
    """Quantities that the supplier has not, or does not sell so."""
    for number, line in enumerate(supplier.lines, 1):
        where, count = f"{supplier.supplier}, line {number}, {line.part.name}", plain(line.quantity)
        if line.stock is not None and line.stock < line.quantity:
            found, hint = f"{where}: it has {plain(line.stock)} of {count}", "Ask for the date of the rest"
            yield Problem("stock-short", "shortfall", Place(key=line.part.key), found, "", hint)
        if line.quantity and line.quantity < line.minimum:
            yield _odd(line, f"{where}: {count} are bought, the least was {plain(line.minimum)}")
        elif line.quantity % line.multiple:
            yield _odd(line, f"{where}: {count} is no multiple of {plain(line.multiple)}")


def _odd(line: OrderLine, found: str) -> Problem:
    return Problem("quote-multiple", "warning", Place(key=line.part.key), found, "", "Ask whether it can be had so")


def _too_few(suppliers: Sequence[SupplierOrder]) -> Iterator[Problem]:
    """A shortfall for each part of which less is bought than the boards need and the stock gives."""
    lines = [line for supplier in suppliers for line in supplier.lines]
    for key in dict.fromkeys(line.part.key for line in lines):
        same = [line for line in lines if line.part.key == key]
        over = sum((x.quantity + x.from_stock - x.needed for x in same), Decimal())
        if over < 0:
            found = f"{same[0].part.name}: {plain(-over)} short of what the boards need"
            yield Problem("quote-short", "shortfall", Place(key=key), found, "", "Buy more, or build fewer boards")
