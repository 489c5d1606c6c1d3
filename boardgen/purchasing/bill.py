"""The bill: what to order for so many boards, and what it costs."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal

from msgspec import Struct

from boardgen.model.part import Part
from boardgen.model.problem import Problem
from boardgen.purchasing.bill_problems import invented_prices, old_prices, price_missing, stock_short
from boardgen.purchasing.choose import Purchase, choose, explain
from boardgen.purchasing.money import round_up, rounded
from boardgen.purchasing.offer import Offer, Offers, found_by_part, offers_for
from boardgen.purchasing.spares import Spares

PRICE_AGE_DAYS = 90
"""From this age on a price is called old (common practice: offers are held for 30 to 90 days)."""

STEP = {"piece": Decimal(1), "m": Decimal("0.1")}
"""To what each unit of quantity is rounded up."""


class Need(Struct, frozen=True):
    """So much of a part in one board, in `unit`; `spare` where some may be lost or broken in building."""

    part: Part
    refs: tuple[str, ...]
    per_board: Decimal
    unit: str
    spare: bool
    note: str = ""


class Line(Struct, frozen=True):
    """One part of an order. Quantities are in `unit`; `needed` and `spares` are what was asked, `ordered` what is
    bought. Without a price `purchase` is None, and so are the cost and what depends on it.
    """

    part: Part
    refs: tuple[str, ...]
    unit: str
    per_board: Decimal
    needed: Decimal
    spares: Decimal
    ordered: Decimal
    purchase: Purchase | None
    explanation: str
    alternatives: tuple[Purchase, ...]
    note: str

    @property
    def supplier(self) -> str:
        """Who sells it, "" without a price."""
        return self.purchase.offer.supplier if self.purchase else ""

    @property
    def order_code(self) -> str:
        """The supplier's number for it, "" without a price."""
        return self.purchase.offer.order_code if self.purchase else ""

    @property
    def unit_price(self) -> Decimal | None:
        """The price of one piece or metre at the quantity ordered."""
        return self.purchase.unit_price if self.purchase else None

    @property
    def line_cost(self) -> Decimal | None:
        """Quantity ordered times unit price, rounded half up."""
        return self.purchase.cost if self.purchase else None

    @property
    def lead_days(self) -> int | None:
        """Days to delivery, None where not known."""
        return self.purchase.offer.lead_days if self.purchase else None

    @property
    def as_of(self) -> date | None:
        """The day the price was asked."""
        return self.purchase.offer.as_of if self.purchase else None

    @property
    def invented(self) -> bool:
        """Whether the price is for demonstration only."""
        return self.purchase is not None and self.purchase.offer.invented


class Bill(Struct, frozen=True):
    """An order for `boards` boards. `order_total` and `board_value` leave out the lines without a price.

    `total_per_board` is the order's total over the boards; `board_value` is the cost of what goes into one board,
    without spares and what is left over.
    """

    lines: tuple[Line, ...]
    boards: int
    spares: Spares
    currency: str
    order_total: Decimal
    total_per_board: Decimal
    board_value: Decimal
    problems: tuple[Problem, ...]

    @property
    def unpriced(self) -> tuple[Line, ...]:
        """The lines without a price."""
        return tuple(line for line in self.lines if line.purchase is None)


def bill(
    needs: Sequence[Need],
    offers: Sequence[Offer],
    boards: int,
    spares: Spares,
    currency: str,
    on: date | None = None,
) -> Bill:
    """What to order for so many boards (1 or more), each part where and in the quantity it costs least.

    Needs of the same part become one line. With a day `on`, prices older than PRICE_AGE_DAYS are named. Raises
    ValueError for a number of boards below 1, negative spares, or a part needed in two units.
    """
    if boards < 1 or any(share < 0 for share in (spares.fraction, *spares.by_kind.values())):
        raise ValueError("at least one board and no negative spares")
    by_part = found_by_part(offers)
    lines = [bill_line(need, by_part, boards, spares, currency) for need in joined(needs)]
    purchases = [line.purchase for line in lines if line.purchase]
    problems = [price_missing(line.part, offers, currency) for line in lines if line.purchase is None]
    problems += [stock_short(p.part, p.purchase) for p in lines if p.purchase and not p.purchase.in_stock]
    problems += old_prices(purchases, on, PRICE_AGE_DAYS) if on else []
    problems += invented_prices(purchases)
    total = sum((purchase.cost for purchase in purchases), rounded(Decimal(), currency))
    value = sum((board_value(line, currency) for line in lines), rounded(Decimal(), currency))
    return Bill(
        tuple(lines),
        boards,
        spares,
        currency,
        total,
        rounded(total / boards, currency),
        value,
        tuple(problems),
    )


def board_value(line: Line, currency: str) -> Decimal:
    """What the part of the line in one board costs, 0 without a price."""
    return rounded(line.per_board * (line.unit_price or Decimal()), currency)


def joined(needs: Iterable[Need]) -> list[Need]:
    """Needs of the same part as one. Raises ValueError for a part in two units."""
    found: dict[str, Need] = {}
    for need in needs:
        before = found.get(need.part.key)
        if before is None:
            found[need.part.key] = need
            continue
        if before.unit != need.unit:
            raise ValueError("a part is needed in two units", need.part.key)
        found[need.part.key] = Need(
            before.part,
            before.refs + need.refs,
            before.per_board + need.per_board,
            before.unit,
            before.spare or need.spare,
            "; ".join(dict.fromkeys(note for note in (before.note, need.note) if note)),
        )
    return list(found.values())


def bill_line(need: Need, offers: Offers, boards: int, spares: Spares, currency: str) -> Line:
    """What to order of one part."""
    step = STEP[need.unit]
    exact = need.per_board * boards
    needed = round_up(exact, step)
    wanted = round_up(exact * (1 + spares.of(need.part)), step) if need.spare else needed
    best, *others = choose(wanted, need.unit, offers_for(need.part, offers.near(need.part), currency)) or (None,)
    return Line(
        need.part,
        need.refs,
        need.unit,
        need.per_board,
        needed,
        wanted - needed,
        best.quantity if best else wanted,
        best,
        explain(wanted, need.unit, best) if best else "",
        tuple(others),
        need.note,
    )
