"""One order for several boards, ready to be handed to a buyer: who sells what, for how much, and why so.

Money is Decimal. A line is rounded half up in its supplier's currency, and so are tax and the total of a supplier; the
total in the currency of the order is the supplier's total times the rate, rounded half up. Every other total is a sum.
Quantities are in the part's unit, "piece" or "m".
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Literal

from msgspec import Struct

from boardgen.model.part import Part
from boardgen.model.problem import Place, Problem
from boardgen.purchasing.offer import Break

Goal = Literal["least cost", "fewest parcels"]
"""Least landed cost; or as few suppliers as can be, and among those the least landed cost."""


class OrderedBoard(Struct, frozen=True):
    """A kind of board and how many of it are bought for. `boards` is 0 for a list of needs that is no board."""

    title: str
    revision: str
    boards: int


class WhereUsed(Struct, frozen=True):
    """What one kind of board takes of a part: `refs` on each board, `quantity` for all of them without spares."""

    board: str
    refs: tuple[str, ...]
    per_board: Decimal
    quantity: Decimal
    note: str = ""


class SupplierTerms(Struct, frozen=True):
    """What a supplier asks beside its prices, in `currency`; None where there is no such limit.

    `free_from` is the value of goods from which shipping costs nothing; `minimum_order` the least value of goods that
    is sold; `tax_percent` is on goods, shipping and fee together. `known` is false where no file gives the terms, and
    all are taken as nothing.
    """

    supplier: str
    currency: str
    shipping: Decimal = Decimal(0)
    free_from: Decimal | None = None
    order_fee: Decimal = Decimal(0)
    tax_percent: Decimal = Decimal(0)
    minimum_order: Decimal | None = None
    as_of: date | None = None
    source: str = ""
    invented: bool = False
    known: bool = True


class Quote(Struct, frozen=True):
    """What one supplier alone would ask for as many as the line needs: for the comparison of suppliers.

    `line_total` is in `currency`; `in_order_currency` the same times the rate, rounded half up. `refused` says why it
    could not be taken ("only 3 in stock", "15 days, too late"), "" where it could. `taken` marks the one that was.
    """

    part: str
    supplier: str
    order_code: str
    currency: str
    quantity: Decimal
    unit_price: Decimal
    line_total: Decimal
    in_order_currency: Decimal
    lead_days: int | None
    stock: Decimal | None
    as_of: date
    source: str
    refused: str = ""
    taken: bool = False


class Difference(Struct, frozen=True):
    """Where an alternate is not as the part wanted; "" where one of them does not state it."""

    name: str
    wanted: str
    alternate: str


class Alternate(Struct, frozen=True):
    """A part that the user approved in the place of `wanted`; `quotes` are for as many as the line needs."""

    wanted: Part
    part: Part
    differs: tuple[Difference, ...]
    quotes: tuple[Quote, ...]
    source: str = ""


class Progress(Struct, frozen=True):
    """What the buyer notes of a line: when and under which number it was ordered, how much came, and what else is so.

    `received` is in the part's unit; None where nothing is noted.
    """

    ordered_on: date | None = None
    order_number: str = ""
    received: Decimal | None = None
    remark: str = ""


class OrderLine(Struct, frozen=True):
    """One row of an order to one supplier.

    `part` is what is bought; `instead_of` has each wanted part that it stands in for and who approved it; it is
    empty where the part is itself wanted.
    `needed` is for the boards, `spares` on top, `from_stock` what is in hand of both; `quantity` is what is bought. Of
    a line that is split over suppliers, the first three are told once, on the first of its rows, and are 0 on the
    others. `minimum`, `multiple`, `unit_price` (at this quantity) and `line_total` are the supplier's, in its currency.
    `explanation` says why this part and this quantity, `passed_over` who asks less for the line and why the order does
    not go there; "" where there is nothing to explain. `note` is the need's own. `breaks` are the supplier's prices
    from so many on, `place` the row that they stand in, without a file where a price was entered by hand. `position`
    counts all lines as they were chosen, from 1; `chosen_at` is the supplier of whom that was, with its currency, where
    the line was moved to another one since.
    """

    part: Part
    order_code: str
    quantity: Decimal
    unit: str
    minimum: Decimal
    multiple: Decimal
    unit_price: Decimal
    line_total: Decimal
    lead_days: int | None
    stock: Decimal | None
    as_of: date
    source: str
    invented: bool
    needed: Decimal
    spares: Decimal
    from_stock: Decimal
    where_used: tuple[WhereUsed, ...]
    instead_of: tuple[Alternate, ...] = ()
    quotes: tuple[Quote, ...] = ()
    alternates: tuple[Alternate, ...] = ()
    explanation: str = ""
    note: str = ""
    passed_over: str = ""
    breaks: tuple[Break, ...] = ()
    place: Place = Place()
    position: int = 0
    chosen_at: tuple[str, str] | None = None
    progress: Progress = Progress()

    @property
    def maker(self) -> str:
        """Who makes it; "any" where anybody may."""
        return self.part.maker

    @property
    def number(self) -> str:
        """The maker's number."""
        return self.part.number

    @property
    def description(self) -> str:
        """What it is, in words."""
        return self.part.description


class SupplierOrder(Struct, frozen=True):
    """What is bought of one supplier, in its currency: goods + shipping + order_fee + tax = total.

    `rate` is how much of the order's currency one unit of its currency is worth; `in_order_currency` is the total
    times it.
    `explanation` says what the choice of this supplier saves or costs, "" where it needs no word.
    """

    supplier: str
    currency: str
    rate: Decimal
    terms: SupplierTerms
    lines: tuple[OrderLine, ...]
    goods: Decimal
    shipping: Decimal
    order_fee: Decimal
    tax: Decimal
    total: Decimal
    in_order_currency: Decimal
    lead_days: int | None
    explanation: str = ""


class UnboughtLine(Struct, frozen=True):
    """A part that is needed and nobody sells, as far as the price files say. Its cost is in no total."""

    part: Part
    unit: str
    needed: Decimal
    spares: Decimal
    from_stock: Decimal
    where_used: tuple[WhereUsed, ...]
    reason: str
    note: str = ""


class Exchange(Struct, frozen=True):
    """An alternate that is taken in the place of `wanted` on these boards; `bought` is false where all is in stock."""

    wanted: Part
    part: Part
    boards: tuple[str, ...]
    bought: bool


class NotFitted(Struct, frozen=True):
    """Places on a board that stay empty, and the part that would go there; not bought."""

    board: str
    refs: tuple[str, ...]
    part: Part


class StockLine(Struct, frozen=True):
    """What is in hand of a part before and after: left = before + bought - used. Spares count as left.

    `part` is None for a key of the stock file that no catalogue knows; it is carried over untouched. `note` is the
    stock file's own.
    """

    key: str
    part: Part | None
    unit: str
    before: Decimal
    bought: Decimal
    used: Decimal
    left: Decimal
    note: str = ""


class Rate(Struct, frozen=True):
    """One unit of `currency` is worth `rate` of the order's currency, on the day the user gives."""

    currency: str
    rate: Decimal
    as_of: date
    source: str


class LineByLine(Struct, frozen=True):
    """What buying each line where it is cheapest by itself would cost in the order's currency, with the same terms.

    `total` is None where that cannot be ordered at all, and `reason` says why.
    """

    total: Decimal | None
    suppliers: int
    reason: str = ""


class Proof(Struct, frozen=True):
    """How sure it is that nothing cheaper exists: `bound` is in the order's currency, no order can cost less.

    `optimal` when total equals bound; else `gap` is how much less might be possible, and `reason` why it is not known.
    """

    optimal: bool
    bound: Decimal
    gap: Decimal
    reason: str = ""


class Order(Struct, frozen=True):
    """The whole order. Totals are in `currency`; suppliers stand in the order of their names.

    `goods`, `shipping`, `order_fees` and `tax` are converted supplier by supplier and rounded half up, so where there
    are rates they may differ from `total` in the last digit; `total` is the sum of what is paid, in_order_currency.
    `on` is the day the order goes out, `by` the day by which all must be there, None where not asked. `reasons` are
    sentences on the choice of suppliers: what those that get no order would have cost. `left_out` are suppliers that
    offer a part which is needed, but in a currency without a rate.
    """

    title: str
    currency: str
    goal: Goal
    on: date | None
    by: date | None
    boards: tuple[OrderedBoard, ...]
    suppliers: tuple[SupplierOrder, ...]
    unbought: tuple[UnboughtLine, ...]
    not_fitted: tuple[NotFitted, ...]
    stock: tuple[StockLine, ...]
    rates: tuple[Rate, ...]
    goods: Decimal
    shipping: Decimal
    order_fees: Decimal
    tax: Decimal
    total: Decimal
    line_by_line: LineByLine
    proof: Proof
    problems: tuple[Problem, ...]
    reasons: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()
    exchanges: tuple[Exchange, ...] = ()

    @property
    def lines(self) -> tuple[OrderLine, ...]:
        """Every line, supplier by supplier."""
        return tuple(line for supplier in self.suppliers for line in supplier.lines)

    @property
    def as_chosen(self) -> tuple[tuple[SupplierOrder, int, OrderLine], ...]:
        """Every line in the order in which they were chosen, with who sells it now and its number there."""
        numbered = [(s, n, line) for s in self.suppliers for n, line in enumerate(s.lines, 1)]
        return tuple(sorted(numbered, key=lambda one: one[2].position))
