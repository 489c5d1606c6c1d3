"""The bill: what to order for so many boards, and what it costs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from decimal import Decimal

from msgspec import Struct

from boardgen.model.netlist import Netlist
from boardgen.model.part import Part
from boardgen.model.problem import Place, Problem
from boardgen.purchasing.choose import Purchase, choose, explain
from boardgen.purchasing.money import plain, round_up, rounded
from boardgen.purchasing.needs import NOT_BOUGHT, STEP, Need, Spares, joined
from boardgen.purchasing.offer import Offer, Offers, covers, found_by_part, offers_for

PRICE_AGE_DAYS = 90
"""From this age on a price is called old (common practice: offers are held for 30 to 90 days)."""


IN_HAND = "in hand"
"""Stands in the place of a supplier."""
Amounts = Mapping[str, Decimal | None]
"""How much is in hand, by catalogue key in the part's unit; None for as much as is needed."""
NOTHING: Amounts = {}


class BillLine(Struct, frozen=True):
    """One part of an order. Quantities are in `unit`; `needed` and `spares` are what was asked, `in_hand` what is
    there of both, `ordered` what is bought. Without a price `purchase` is None, and so are the cost and what depends on
    it; where all is in hand nothing is bought, at no cost.
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
    in_hand: Decimal = Decimal()

    @property
    def all_in_hand(self) -> bool:
        """Whether nothing of it is bought."""
        return self.in_hand > 0 and self.ordered == 0

    @property
    def unpriced(self) -> bool:
        """Whether it is bought and has no price."""
        return self.purchase is None and not self.all_in_hand

    @property
    def supplier(self) -> str:
        """Who sells it, "" without a price."""
        if self.all_in_hand:
            return IN_HAND
        return self.purchase.offer.supplier if self.purchase else ""

    @property
    def order_code(self) -> str:
        """The supplier's number for it, "" without a price."""
        return self.purchase.offer.order_code if self.purchase else ""

    @property
    def unit_price(self) -> Decimal | None:
        """The price of one piece or metre at the quantity ordered."""
        if self.all_in_hand:
            return Decimal()
        return self.purchase.unit_price if self.purchase else None

    @property
    def line_cost(self) -> Decimal | None:
        """Quantity ordered times unit price, rounded half up."""
        if self.all_in_hand:
            return Decimal()
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

    lines: tuple[BillLine, ...]
    boards: int
    spares: Spares
    currency: str
    order_total: Decimal
    total_per_board: Decimal
    board_value: Decimal
    problems: tuple[Problem, ...]

    @property
    def unpriced(self) -> tuple[BillLine, ...]:
        """The lines without a price."""
        return tuple(line for line in self.lines if line.unpriced)


def bill(
    needs: Sequence[Need],
    offers: Sequence[Offer],
    boards: int,
    spares: Spares,
    currency: str,
    on: date | None = None,
    in_hand: Amounts = NOTHING,
) -> Bill:
    """What to order for so many boards, each part where and in the quantity it costs least by itself.

    Freight, fees and taxes are not looked at; `boardgen.purchasing.buy` does that, with a solver.

    Parameters
    ----------
    needs
        What one board takes; needs of the same part become one line.
    offers
        All offers; those in other currencies are passed over.
    boards
        How many are built, 1 or more.
    spares
        How many more are bought than is needed.
    currency
        Three capitals as in ISO 4217.
    on
        The day for which prices are judged: older ones than PRICE_AGE_DAYS are named. None where not asked.
    in_hand
        What need not be bought.

    Raises
    ------
    ValueError
        For a number of boards below 1, negative spares, or a part needed in two units.

    """
    if boards < 1 or any(share < 0 for share in (spares.fraction, *spares.by_kind.values())):
        raise ValueError("at least one board and no negative spares")
    by_part = found_by_part(offers)
    lines = [bill_line(need, by_part, boards, spares, currency, in_hand) for need in joined(needs)]
    purchases = [line.purchase for line in lines if line.purchase]
    problems = [price_missing(line.part, offers, currency) for line in lines if line.unpriced]
    problems += [_stock_short(p.part, p.purchase) for p in lines if p.purchase and not p.purchase.in_stock]
    problems += _old_prices(purchases, on, PRICE_AGE_DAYS) if on else []
    problems += _invented_prices(purchases)
    total = sum((purchase.cost for purchase in purchases), rounded(Decimal(), currency))
    value = sum((board_value(line, boards, currency) for line in lines), rounded(Decimal(), currency))
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


def board_value(line: BillLine, boards: int, currency: str) -> Decimal:
    """What the part of the line in one board costs, 0 without a price; what is in hand costs nothing."""
    bought = max(line.per_board - line.in_hand / boards, Decimal())
    return rounded(bought * (line.unit_price or Decimal()), currency)


def required(need: Need, boards: int, spares: Spares) -> tuple[Decimal, Decimal]:
    """What so many boards take of a part, and that with its spares."""
    step = STEP[need.unit]
    exact = need.per_board * boards
    needed = round_up(exact, step)
    return needed, round_up(exact * (1 + spares.of(need.part)), step) if need.spare else needed


def bill_line(
    need: Need, offers: Offers, boards: int, spares: Spares, currency: str, in_hand: Amounts = NOTHING
) -> BillLine:
    """What to order of one part; the parameters are those of `bill`, the offers found by part."""
    needed, whole = required(need, boards, spares)
    there = in_hand.get(need.part.key, Decimal())
    used = whole if there is None else min(there, whole)
    to_buy = whole - used
    offered = offers_for(need.part, offers.near(need.part), currency) if to_buy else ()
    best, *others = choose(to_buy, need.unit, offered) or (None,)
    return BillLine(
        need.part,
        need.refs,
        need.unit,
        need.per_board,
        needed,
        whole - needed,
        best.quantity if best else to_buy,
        best,
        explain(to_buy, need.unit, best) if best else "",
        tuple(others),
        need.note,
        used,
    )


def billed_is_fitted(netlist: Netlist, bill: Bill) -> tuple[Problem, ...]:
    """A fault for every fitted part that is not billed, and every billed one that is not fitted."""
    fitted = {c.ref for c in netlist.components if c.fitted and c.part.maker not in NOT_BOUGHT}
    billed = {ref for line in bill.lines for ref in line.refs}
    return tuple(
        Problem(
            "C011 fitted is billed",
            "shortfall",
            Place(key=ref),
            f"{ref} is {'fitted' if ref in fitted else 'billed'} only",
        )
        for ref in sorted(fitted ^ billed)
    )


def price_missing(part: Part, offers: Sequence[Offer], currency: str) -> Problem:
    """No offer of the part in the currency; says in which currencies there is one."""
    others = sorted({offer.currency for offer in offers if covers(offer, part)})
    return Problem(
        "price-missing",
        "shortfall",
        Place(key=part.key),
        f"no price in {currency}",
        f"there is one in {', '.join(others)}" if others else "",
        "Its line stays on the bill without a cost, and the totals leave it out",
    )


def _stock_short(part: Part, purchase: Purchase) -> Problem:
    """No supplier has as many as are needed."""
    offer = purchase.offer
    stock = plain(offer.stock or Decimal())
    return Problem(
        "stock-short",
        "shortfall",
        Place(key=part.key),
        f"{part.name}: no supplier has {plain(purchase.quantity)}; {offer.supplier} has {stock}",
        "",
        "Ask for the date of the rest, or split the order",
    )


def _old_prices(purchases: Sequence[Purchase], on: date, age_days: int) -> list[Problem]:
    """One warning for all prices older than that on the day."""
    oldest_good = on - timedelta(days=age_days)
    dates = sorted(purchase.offer.as_of for purchase in purchases if purchase.offer.as_of < oldest_good)
    if not dates:
        return []
    found = f"{_lines(len(dates))} priced more than {age_days} days before {on}, the oldest on {dates[0]}"
    return [Problem("price-old", "warning", Place(key="order"), found, "", "Ask for prices again before ordering")]


def _invented_prices(purchases: Sequence[Purchase]) -> list[Problem]:
    """One warning for all prices that nobody asks."""
    count = sum(purchase.offer.invented for purchase in purchases)
    if not count:
        return []
    found = f"{_lines(count)} priced at invented prices, for demonstration only"
    return [Problem("price-invented", "warning", Place(key="order"), found, "", "Give a price file of your own")]


def _lines(count: int) -> str:
    return "1 line is" if count == 1 else f"{count} lines are"
