"""From what several boards need to what is bought: demands, who may sell them by the day, and the cheapest choice.

Three words tell quantities apart. A need is what one board takes of a part; a demand is what all boards take, with
spares; a requirement is what has to be bought of it, after what is in stock.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from functools import cached_property

from msgspec import Struct
from msgspec.structs import replace

from boardgen.model.part import Part
from boardgen.model.problem import Place, Problem
from boardgen.purchasing.alternates import Approval, misfit
from boardgen.purchasing.bill import price_missing
from boardgen.purchasing.buy import Solution, buy
from boardgen.purchasing.demand import BoardNeeds, Demand, demands
from boardgen.purchasing.market import Market, market
from boardgen.purchasing.offer import FAMILY, Offer
from boardgen.purchasing.order import Goal
from boardgen.purchasing.price_book import PriceBook, offers_of
from boardgen.purchasing.purchase_options import MOST_TOGETHER, Requirement
from boardgen.purchasing.stock import StockItem, whole_stock
from boardgen.purchasing.unknown_parts import unknown_parts


class OrderRequest(Struct, frozen=True):
    """Everything an order is made from.

    `find` gives the part of a catalogue key, or None. `on` is the day the order goes out; with `by`, what comes later
    than that day is not bought unless nothing else is to be had. `lead_days` of the offers are calendar days.
    `time_limit_s` is what the solver may take, None for as long as it needs.
    """

    title: str
    currency: str
    boards: tuple[BoardNeeds, ...]
    book: PriceBook
    find: Callable[[str], Part | None]
    stock: tuple[StockItem, ...] = ()
    approvals: tuple[Approval, ...] = ()
    on: date | None = None
    by: date | None = None
    goal: Goal = "least cost"
    time_limit_s: float | None = None

    @property
    def most_days(self) -> int | None:
        """The longest lead time that is in time."""
        return None if self.by is None or self.on is None else (self.by - self.on).days


class Sourcing(Struct, frozen=True, dict=True):
    """Who is bought from, each step worked out when it is first asked for."""

    request: OrderRequest

    @cached_property
    def demands(self) -> tuple[Demand, ...]:
        """What the boards need, part by part."""
        return demands(self.request.boards, self.stock)

    @cached_property
    def parts(self) -> dict[str, Part]:
        """Every part that the needs, the stock or the approvals name, by key."""
        found = {need.part.key: need.part for board in self.request.boards for need in board.needs}
        keys = [row.part for row in self.request.stock]
        keys += [key for approval in self.request.approvals for key in (approval.part, approval.alternate)]
        for key in keys:
            if key not in found and (part := self.request.find(key)) is not None:
                found[key] = part
        return found

    @cached_property
    def _stock(self) -> tuple[dict[str, StockItem], tuple[Problem, ...]]:
        return whole_stock(self.request.stock, self.parts)

    @property
    def stock(self) -> Mapping[str, StockItem]:
        """What is in stock, by catalogue key."""
        return self._stock[0]

    @cached_property
    def _approvals(self) -> tuple[dict[str, tuple[Approval, ...]], tuple[Problem, ...]]:
        return _approved(self.request.approvals, self.parts, self.demands)

    @property
    def approvals(self) -> Mapping[str, tuple[Approval, ...]]:
        """The approvals that can be used, by the key of the part that is needed."""
        return self._approvals[0]

    @cached_property
    def narrowed_book(self) -> PriceBook:
        """The price book with the offers of the parts that may be bought, and no other."""
        alternates = [self.parts[a.alternate] for approvals in self.approvals.values() for a in approvals]
        parts = {part.key: part for part in (*(demand.part for demand in self.demands), *alternates)}
        return replace(self.request.book, offers=offers_of(parts.values(), self.request.book.offers))

    @cached_property
    def _market(self) -> tuple[Market, tuple[Problem, ...]]:
        book = self.narrowed_book
        rates = [given.rate for given in book.rates if given.to == self.request.currency]
        return market(book.offers, book.terms, rates, self.request.currency)

    @property
    def whole_market(self) -> Market:
        """Who sells what, late or not."""
        return self._market[0]

    @property
    def left_out(self) -> tuple[str, ...]:
        """Suppliers of what is needed whose currencies have no rate."""
        offering = {offer.supplier for offer in self.narrowed_book.offers}
        return tuple(sorted(offering - self.whole_market.suppliers.keys()))

    @cached_property
    def _in_time(self) -> tuple[Market, tuple[Problem, ...]]:
        if self.request.most_days is None:
            return self.whole_market, ()
        return _in_time(self.whole_market, self._to_buy, self.request.most_days)

    @property
    def market(self) -> Market:
        """Who sells what by the day."""
        return self._in_time[0]

    @cached_property
    def _to_buy(self) -> tuple[tuple[Demand, Requirement], ...]:
        """The demands that stock does not meet and somebody sells, or an alternate in stock meets."""
        found = []
        free = dict(self.free)
        for demand in self.demands:
            if demand.required <= 0:
                continue
            others = tuple(self.parts[a.alternate] for a in self.approvals.get(demand.part.key, ()))
            required = Requirement(demand.part, demand.required, others)
            if any(self.whole_market.of(part) for part in (required.part, *others)):
                found.append((demand, required))
            elif enough := [part for part in others if free.get(part, 0) >= demand.required]:
                free[enough[0]] -= demand.required
                found.append((demand, required))
        return tuple(found)

    @property
    def requirements(self) -> tuple[Requirement, ...]:
        """What is to be bought."""
        return tuple(required for _, required in self._to_buy)

    @property
    def demands_to_buy(self) -> tuple[Demand, ...]:
        """The demands of the requirements, in their order."""
        return tuple(demand for demand, _ in self._to_buy)

    @cached_property
    def unsold(self) -> tuple[Demand, ...]:
        """The demands that stock does not meet and nobody sells."""
        to_buy = {demand.part.key for demand in self.demands_to_buy}
        return tuple(demand for demand in self.demands if demand.required > 0 and demand.part.key not in to_buy)

    @cached_property
    def free(self) -> dict[Part, Decimal]:
        """What is in stock of each part beyond its own demand."""
        own = {demand.part.key: demand.left_in_stock for demand in self.demands}
        left = {key: own.get(key, row.quantity) for key, row in self.stock.items() if key in self.parts}
        return {self.parts[key]: quantity for key, quantity in left.items() if quantity > 0}

    @cached_property
    def solution(self) -> Solution:
        """The cheapest choice."""
        return buy(self.requirements, self.market, self.free, self.request.goal, self.request.time_limit_s)

    @property
    def input_problems(self) -> tuple[Problem, ...]:
        """What is wrong with stock, approvals, currencies and terms, and which parts nobody sells or only too late."""
        offers = self.whole_market.offers
        missing = [price_missing(demand.part, self._priced(offers), self.request.currency) for demand in self.unsold]
        hint = "It is in the request for quotation, and in no total"
        return (
            *_unknown(self.request.book.offers, self.request.find, self.parts),
            *self._stock[1],
            *self._approvals[1],
            *self._market[1],
            *(replace(problem, hint=hint) for problem in missing),
            *self._in_time[1],
        )

    def _priced(self, usable: Sequence[Offer]) -> Sequence[Offer]:
        return [offer for offer in self.request.book.offers if offer not in usable]


def _unknown(
    offers: Sequence[Offer], find: Callable[[str], Part | None], known: Mapping[str, Part]
) -> tuple[Problem, ...]:
    """What is to be known of prices of parts that no catalogue knows; families aside."""
    wrong: dict[str, Offer] = {}
    for offer in offers:
        key = offer.part
        if not (key.endswith(FAMILY) or key in known or key in wrong) and find(key) is None:
            wrong[key] = offer
    rows = [(key, offer.place) for key, offer in wrong.items()]
    return unknown_parts("price-unknown", rows, known, "the price is not used")


def _approved(
    approvals: Sequence[Approval], parts: Mapping[str, Part], demands: Sequence[Demand]
) -> tuple[dict[str, tuple[Approval, ...]], tuple[Problem, ...]]:
    """The approvals of parts that are needed that can be used, and what is wrong with the others."""
    boards = {demand.part.key: tuple(dict.fromkeys(use.board for use in demand.where_used)) for demand in demands}
    found: dict[str, list[Approval]] = {}
    uses = dict.fromkeys(boards, 1)
    problems = []
    for approval in approvals:
        wrong = _unusable(approval, parts, boards.get(approval.part, ()), uses.get(approval.alternate, 0))
        if wrong:
            place = Place(approval.file, approval.line)
            problems.append(Problem("alternate-row", "shortfall", place, wrong[0], "the row is left out", wrong[1]))
        elif approval.part in boards:
            found.setdefault(approval.part, []).append(approval)
            uses[approval.alternate] = uses.get(approval.alternate, 0) + 1
    return {key: tuple(some) for key, some in found.items()}, tuple(problems)


def _unusable(
    approval: Approval, parts: Mapping[str, Part], boards: Sequence[str], uses: int
) -> tuple[str, str] | None:
    """What is wrong with an approval and what to do, None where nothing is; `boards` take the part wanted."""
    unknown = [key for key in (approval.part, approval.alternate) if key not in parts]
    if unknown:
        return f"{unknown[0]} is no part of the catalogue", "Check the spelling"
    wanted, other = parts[approval.part], parts[approval.alternate]
    if wanted.unit != other.unit:
        return f"{wanted.key} and {other.key} are counted in different units", ""
    if wanted.kind != other.kind:
        found = f"{wanted.key} is of the kind {wanted.kind}, {other.key} of the kind {other.kind}"
        return found, "Name a part of the same kind"
    if boards and (why := misfit(wanted, other)):
        found = f"{other.key} does not fit where {wanted.key} stands on {', '.join(boards)}: {why}"
        return found, "Name it in the specification and build the board anew"
    if boards and uses == MOST_TOGETHER:
        return f"{other.key} may meet {MOST_TOGETHER} needs already", "More are not looked at together"
    return None


def _in_time(of: Market, to_buy: Sequence[tuple[Demand, Requirement]], days: int) -> tuple[Market, tuple[Problem, ...]]:
    """The market without what comes too late, save the soonest of what cannot be had in time."""
    kept = {id(offer) for offer in of.offers if offer.lead_days is not None and offer.lead_days <= days}
    problems = []
    for _, required in to_buy:
        offers = [offer for part in (required.part, *required.alternates) for offer in of.of(part)]
        if not offers or any(id(offer) in kept for offer in offers):
            continue
        known = [offer.lead_days for offer in offers if offer.lead_days is not None]
        soonest = min(known, default=None)
        kept |= {id(offer) for offer in offers if offer.lead_days == soonest}
        place = Place(key=required.part.key)
        when = "no supplier says when it comes" if soonest is None else f"the soonest comes after {soonest} days"
        text = f"{required.part.name} cannot be had in time: {when}"
        problems.append(Problem("late", "shortfall", place, text, f"within {days} days", "It is ordered all the same"))
    return Market(of.currency, tuple(o for o in of.offers if id(o) in kept), of.suppliers), tuple(problems)
