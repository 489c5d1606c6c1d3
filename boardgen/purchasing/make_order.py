"""The order as a document: what was chosen, with everything a buyer may ask about it."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from functools import cached_property
from itertools import count

from msgspec import Struct
from msgspec.structs import replace

from boardgen.model.part import Part
from boardgen.model.problem import Problem
from boardgen.purchasing import reasons
from boardgen.purchasing.allocation import Allocation
from boardgen.purchasing.alternates import Approval, differences
from boardgen.purchasing.choose import Purchase, choose
from boardgen.purchasing.demand import Demand
from boardgen.purchasing.integer_scaling import amount_of, half_up_of, smallest_units
from boardgen.purchasing.money import plain
from boardgen.purchasing.order import (
    Alternate,
    Exchange,
    LineByLine,
    Order,
    OrderLine,
    Proof,
    Quote,
    Rate,
    SupplierOrder,
    UnboughtLine,
)
from boardgen.purchasing.order_problems import order_problems
from boardgen.purchasing.sourcing import OrderRequest, Sourcing
from boardgen.purchasing.stock import stock_after


def make_order(request: OrderRequest) -> Order:
    """The cheapest order for all that is asked, with its proof, its comparison with the baseline, and its problems.

    Raises
    ------
    ValueError
        Where a part is needed in two units.

    """
    return _Made(Sourcing(request)).order


class _Made(Struct, frozen=True, dict=True):
    """The order while it is written down."""

    sourcing: Sourcing

    @property
    def order(self) -> Order:
        request, solution = self.sourcing.request, self.sourcing.solution
        currency = request.currency
        suppliers = _numbered([self._supplier(name) for name in solution.paid])
        worth = {name: self.sourcing.market.suppliers[name].worth for name in solution.paid}

        def converted(what: str) -> Decimal:
            units = (half_up_of(getattr(payment, what) * worth[name]) for name, payment in solution.paid.items())
            return amount_of(sum(units), currency)

        return Order(
            title=request.title,
            currency=currency,
            goal=request.goal,
            on=request.on,
            by=request.by,
            boards=tuple(board.board for board in request.boards),
            suppliers=suppliers,
            unbought=self._unbought,
            not_fitted=tuple(place for board in request.boards for place in board.not_fitted),
            stock=stock_after(self.sourcing.stock, self._all_parts, self._quantities, self._used),
            rates=self._rates,
            goods=converted("goods"),
            shipping=converted("shipping"),
            order_fees=converted("fee"),
            tax=converted("tax"),
            total=amount_of(solution.total, currency),
            line_by_line=self._line_by_line,
            proof=self._proof,
            problems=self._problems(suppliers),
            reasons=self._reasons,
            left_out=self.sourcing.left_out,
            exchanges=self._exchanges,
        )

    @cached_property
    def _allocations(self) -> tuple[Allocation, ...]:
        return self.sourcing.solution.allocations

    def _demands(self, allocation: Allocation) -> list[Demand]:
        return [self.sourcing.demands_to_buy[number] for number in allocation.covers]

    def _required(self, allocation: Allocation) -> Decimal:
        """What has to be bought for an allocation."""
        required = sum((demand.required for demand in self._demands(allocation)), Decimal(0))
        return max(Decimal(0), required - self.sourcing.free.get(allocation.part, Decimal(0)))

    @property
    def _all_parts(self) -> dict[str, Part]:
        return self.sourcing.parts | {allocation.part.key: allocation.part for allocation in self._allocations}

    @property
    def _quantities(self) -> dict[str, Decimal]:
        """What is bought of each part."""
        found: dict[str, Decimal] = {}
        for allocation in self._allocations:
            for purchase in allocation.purchases:
                found[allocation.part.key] = found.get(allocation.part.key, Decimal(0)) + purchase.quantity
        return found

    @property
    def _used(self) -> dict[str, Decimal]:
        """What the boards take of each part: of a part that an alternate stands in for, only what is in hand."""
        met = {
            demand.part.key: allocation.part.key
            for allocation in self._allocations
            for demand in self._demands(allocation)
        }
        found: dict[str, Decimal] = {}
        for demand in self.sourcing.demands:
            key = demand.part.key
            if demand.required <= 0:
                found[key] = found.get(key, Decimal(0)) + demand.exact
            elif key in met:
                own = demand.exact if met[key] == key else min(demand.exact, demand.from_stock)
                found[key] = found.get(key, Decimal(0)) + own
                found[met[key]] = found.get(met[key], Decimal(0)) + demand.exact - own
        return found

    def _supplier(self, name: str) -> SupplierOrder:
        supplier, payment = self.sourcing.market.suppliers[name], self.sourcing.solution.paid[name]
        currency = supplier.terms.currency
        lines = tuple(
            self._line(allocation, purchase)
            for allocation in self._allocations
            for purchase in allocation.purchases
            if purchase.offer.supplier == name
        )
        days = [line.lead_days for line in lines if line.lead_days is not None]
        why = reasons.why_used(
            name,
            self._allocations,
            [self._required(allocation) for allocation in self._allocations],
            self.sourcing.market,
        )
        return SupplierOrder(
            supplier=name,
            currency=currency,
            rate=supplier.rate,
            terms=supplier.terms,
            lines=lines,
            lead_days=max(days, default=None) if len(days) == len(lines) else None,
            explanation=why,
            **payment.amounts(currency, self.sourcing.request.currency),
        )

    def _line(self, allocation: Allocation, purchase: Purchase) -> OrderLine:
        offer, required, market = purchase.offer, self._required(allocation), self.sourcing.market
        demands = self._demands(allocation)
        counted = demands if purchase is allocation.purchases[0] else []
        quotes = self._quotes(allocation.part, required, allocation.purchases)
        approved = [(demand, row) for demand in demands for row in self._approvals(demand)]
        instead_of = tuple(
            self._alternate(demand, row, quotes) for demand, row in approved if row.alternate == allocation.part.key
        )
        why = (
            reasons.why_part([one.wanted.name for one in instead_of]),
            reasons.why_quantity(allocation, purchase, required, market, self.sourcing.solution.paid),
        )
        return OrderLine(
            part=allocation.part,
            order_code=offer.order_code,
            quantity=purchase.quantity,
            unit=allocation.part.unit,
            minimum=offer.minimum,
            multiple=offer.multiple,
            unit_price=purchase.unit_price,
            line_total=purchase.cost,
            lead_days=offer.lead_days,
            stock=offer.stock,
            as_of=offer.as_of,
            source=offer.source,
            place=offer.place,
            invented=offer.invented,
            needed=sum((demand.needed for demand in counted), Decimal(0)),
            spares=sum((demand.spares for demand in counted), Decimal(0)),
            from_stock=sum((demand.needed + demand.spares for demand in counted), Decimal(0)) - required
            if counted
            else Decimal(0),
            where_used=tuple(use for demand in demands for use in demand.where_used),
            instead_of=instead_of,
            quotes=quotes,
            alternates=tuple(
                self._alternate(demand, row, self._quotes(self.sourcing.parts[row.alternate], required, ()))
                for demand, row in approved
                if row.alternate != allocation.part.key
            ),
            explanation="; ".join(piece for piece in why if piece),
            note="; ".join(dict.fromkeys(demand.note for demand in demands if demand.note)),
            breaks=offer.breaks,
            passed_over=reasons.why_supplier(allocation, required, market, self.sourcing.solution.paid),
        )

    def _approvals(self, demand: Demand) -> tuple[Approval, ...]:
        return self.sourcing.approvals.get(demand.part.key, ())

    def _alternate(self, demand: Demand, row: Approval, quotes: tuple[Quote, ...]) -> Alternate:
        part = self.sourcing.parts[row.alternate]
        return Alternate(demand.part, part, differences(demand.part, part), quotes, row.source)

    def _quotes(self, part: Part, required: Decimal, taken: Sequence[Purchase]) -> tuple[Quote, ...]:
        market = self.sourcing.whole_market
        if required <= 0:
            return ()
        return tuple(self._quote(part, p, taken) for p in choose(required, part.unit, market.of(part)))

    def _quote(self, part: Part, purchase: Purchase, taken: Sequence[Purchase]) -> Quote:
        offer, worth = purchase.offer, self.sourcing.whole_market.suppliers[purchase.offer.supplier].worth
        mine = [p for p in taken if p.offer == offer]
        shown = mine[0] if mine else purchase
        units = half_up_of(smallest_units(shown.cost, offer.currency) * worth)
        return Quote(
            part=part.key,
            supplier=offer.supplier,
            order_code=offer.order_code,
            currency=offer.currency,
            quantity=shown.quantity,
            unit_price=shown.unit_price,
            line_total=shown.cost,
            in_order_currency=amount_of(units, self.sourcing.request.currency),
            lead_days=offer.lead_days,
            stock=offer.stock,
            as_of=offer.as_of,
            source=offer.source,
            refused="" if mine else self._refusal(purchase),
            taken=bool(mine),
        )

    def _refusal(self, purchase: Purchase) -> str:
        offer, most = purchase.offer, self.sourcing.request.most_days
        said = []
        if offer.stock is not None and not purchase.in_stock:
            said.append(f"only {plain(offer.stock)} in stock")
        if most is not None and offer.lead_days is None:
            said.append("does not say when it comes")
        elif most is not None and offer.lead_days is not None and offer.lead_days > most:
            said.append(f"{offer.lead_days} days, too late")
        return "; ".join(said)

    @property
    def _unbought(self) -> tuple[UnboughtLine, ...]:
        met = {number for allocation in self._allocations for number in allocation.covers}
        left = [demand for number, demand in enumerate(self.sourcing.demands_to_buy) if number not in met]
        return tuple(
            UnboughtLine(d.part, d.unit, d.needed, d.spares, d.from_stock, d.where_used, reason, d.note)
            for demands, reason in ((self.sourcing.unsold, "no price"), (left, "no order was found in the time given"))
            for d in demands
        )

    @property
    def _rates(self) -> tuple[Rate, ...]:
        used = {self.sourcing.market.suppliers[name].terms.currency for name in self.sourcing.solution.paid}
        given = self.sourcing.request.book.rates
        return tuple(g.rate for g in given if g.to == self.sourcing.request.currency and g.rate.currency in used)

    @property
    def _line_by_line(self) -> LineByLine:
        line_by_line = self.sourcing.solution.line_by_line
        if line_by_line is None:
            return LineByLine(None, 0, "bought line by line, the least order of a supplier or the stock would not do")
        return LineByLine(amount_of(line_by_line[0], self.sourcing.request.currency), line_by_line[1])

    @property
    def _proof(self) -> Proof:
        solution, currency = self.sourcing.solution, self.sourcing.request.currency
        gap = amount_of(solution.total - solution.bound, currency)
        return Proof(solution.optimal, amount_of(solution.bound, currency), gap, solution.reason)

    @property
    def _reasons(self) -> tuple[str, ...]:
        market, solution = self.sourcing.market, self.sourcing.solution
        quantities = [self._required(allocation) for allocation in self._allocations]
        found = [
            reasons.why_unused(n, self._allocations, quantities, market)
            for n in market.suppliers
            if n not in solution.paid
        ]
        from_stock = (
            f"{one.part.name} from stock stands in for {one.wanted.name}, as approved"
            for one in self._exchanges
            if not one.bought
        )
        return (*(sentence for sentence in found if sentence), *from_stock)

    @cached_property
    def _exchanges(self) -> tuple[Exchange, ...]:
        return tuple(
            Exchange(
                demand.part, allocation.part, tuple(use.board for use in demand.where_used), bool(allocation.purchases)
            )
            for allocation in self._allocations
            for demand in self._demands(allocation)
            if demand.part.key != allocation.part.key
        )

    def _problems(self, suppliers: Sequence[SupplierOrder]) -> tuple[Problem, ...]:
        return (*self.sourcing.input_problems, *order_problems(self.sourcing, suppliers))


def _numbered(suppliers: Sequence[SupplierOrder]) -> tuple[SupplierOrder, ...]:
    """The suppliers with their lines counted through."""
    positions = count(1)
    return tuple(
        replace(supplier, lines=tuple(replace(line, position=next(positions)) for line in supplier.lines))
        for supplier in suppliers
    )
