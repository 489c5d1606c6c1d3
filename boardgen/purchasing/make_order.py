"""The order as a document: what was chosen, with everything a buyer may ask about it."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from functools import cached_property

from msgspec import Struct

from boardgen.model.part import Part
from boardgen.model.problem import Problem
from boardgen.purchasing import reasons
from boardgen.purchasing.choose import Purchase, choose
from boardgen.purchasing.deal import Deal
from boardgen.purchasing.demand import Demand, stock_after
from boardgen.purchasing.differences import differences
from boardgen.purchasing.exact import amount_of, half_up_of, smallest_units
from boardgen.purchasing.money import plain
from boardgen.purchasing.order import (
    Alternate,
    Naive,
    Order,
    OrderLine,
    Proof,
    Quote,
    Rate,
    SupplierOrder,
    UnboughtLine,
)
from boardgen.purchasing.order_problems import order_problems
from boardgen.purchasing.ordering import Asked, Ordering


def make_order(asked: Asked) -> Order:
    """The cheapest order for all that is asked. Raises ValueError where a part is needed in two units."""
    return _Made(Ordering(asked)).order


class _Made(Struct, frozen=True, dict=True):
    """The order while it is written down."""

    ordering: Ordering

    @property
    def order(self) -> Order:
        asked, bought, currency = self.ordering.asked, self.ordering.bought, self.ordering.asked.currency
        suppliers = tuple(self._supplier(name) for name in bought.paid)
        worth = {name: self.ordering.market.suppliers[name].worth for name in bought.paid}

        def converted(what: str) -> Decimal:
            units = (half_up_of(getattr(money, what) * worth[name]) for name, money in bought.paid.items())
            return amount_of(sum(units), currency)

        return Order(
            title=asked.title,
            currency=currency,
            goal=asked.goal,
            on=asked.on,
            by=asked.by,
            boards=tuple(board.board for board in asked.boards),
            suppliers=suppliers,
            unbought=self._unbought,
            not_fitted=tuple(place for board in asked.boards for place in board.not_fitted),
            stock=stock_after(self.ordering.stock, self._all_parts, self._quantities, self._used),
            rates=self._rates,
            goods=converted("goods"),
            shipping=converted("shipping"),
            order_fees=converted("fee"),
            tax=converted("tax"),
            total=amount_of(bought.total, currency),
            naive=self._naive,
            proof=self._proof,
            problems=self._problems(suppliers),
            reasons=self._reasons,
        )

    @cached_property
    def _deals(self) -> tuple[Deal, ...]:
        return self.ordering.bought.deals

    def _demands(self, deal: Deal) -> list[Demand]:
        return [self.ordering.wanted[number] for number in deal.covers]

    def _wanted(self, deal: Deal) -> Decimal:
        """What has to be bought for a deal."""
        asked = sum((demand.wanted for demand in self._demands(deal)), Decimal(0))
        return max(Decimal(0), asked - self.ordering.free.get(deal.part, Decimal(0)))

    @property
    def _all_parts(self) -> dict[str, Part]:
        return self.ordering.parts | {deal.part.key: deal.part for deal in self._deals}

    @property
    def _quantities(self) -> dict[str, Decimal]:
        """What is bought of each part."""
        found: dict[str, Decimal] = {}
        for deal in self._deals:
            for purchase in deal.purchases:
                found[deal.part.key] = found.get(deal.part.key, Decimal(0)) + purchase.quantity
        return found

    @property
    def _used(self) -> dict[str, Decimal]:
        """What the boards take of each part: of a part that an alternate stands in for, only what is in hand."""
        met = {demand.part.key: deal.part.key for deal in self._deals for demand in self._demands(deal)}
        found: dict[str, Decimal] = {}
        for demand in self.ordering.demands:
            key = demand.part.key
            if demand.wanted <= 0:
                found[key] = found.get(key, Decimal(0)) + demand.exact
            elif key in met:
                own = demand.exact if met[key] == key else min(demand.exact, demand.from_stock)
                found[key] = found.get(key, Decimal(0)) + own
                found[met[key]] = found.get(met[key], Decimal(0)) + demand.exact - own
        return found

    def _supplier(self, name: str) -> SupplierOrder:
        supplier, money = self.ordering.market.suppliers[name], self.ordering.bought.paid[name]
        currency = supplier.terms.currency
        lines = tuple(
            self._line(deal, purchase)
            for deal in self._deals
            for purchase in deal.purchases
            if purchase.offer.supplier == name
        )
        days = [line.lead_days for line in lines if line.lead_days is not None]
        why = reasons.why_used(name, self._deals, [self._wanted(deal) for deal in self._deals], self.ordering.market)
        return SupplierOrder(
            supplier=name,
            currency=currency,
            rate=supplier.rate,
            terms=supplier.terms,
            lines=lines,
            goods=amount_of(money.goods, currency),
            shipping=amount_of(money.shipping, currency),
            order_fee=amount_of(money.fee, currency),
            tax=amount_of(money.tax, currency),
            total=amount_of(money.total, currency),
            in_order_currency=amount_of(money.converted, self.ordering.asked.currency),
            lead_days=max(days, default=None) if len(days) == len(lines) else None,
            explanation=why,
        )

    def _line(self, deal: Deal, purchase: Purchase) -> OrderLine:
        offer, wanted, market = purchase.offer, self._wanted(deal), self.ordering.market
        demands = self._demands(deal)
        counted = demands if purchase is deal.purchases[0] else []
        instead_of = tuple(demand.part for demand in demands if demand.part.key != deal.part.key)
        why = (
            reasons.why_part([part.name for part in instead_of]),
            reasons.why_quantity(deal, purchase, wanted, market, self.ordering.bought.paid),
        )
        return OrderLine(
            part=deal.part,
            order_code=offer.order_code,
            quantity=purchase.quantity,
            unit=deal.part.unit,
            minimum=offer.minimum,
            multiple=offer.multiple,
            unit_price=purchase.unit_price,
            line_total=purchase.cost,
            lead_days=offer.lead_days,
            stock=offer.stock,
            as_of=offer.as_of,
            source=offer.source,
            invented=offer.invented,
            needed=sum((demand.needed for demand in counted), Decimal(0)),
            spares=sum((demand.spares for demand in counted), Decimal(0)),
            from_stock=sum((demand.needed + demand.spares for demand in counted), Decimal(0)) - wanted
            if counted
            else Decimal(0),
            where_used=tuple(use for demand in demands for use in demand.where_used),
            instead_of=instead_of,
            quotes=self._quotes(deal.part, wanted, deal.purchases),
            alternates=self._alternates(demands, wanted, deal),
            explanation="; ".join(piece for piece in why if piece),
            note="; ".join(dict.fromkeys(demand.note for demand in demands if demand.note)),
            passed_over=reasons.why_supplier(deal, wanted, market, self.ordering.bought.paid),
        )

    def _alternates(self, demands: Sequence[Demand], wanted: Decimal, deal: Deal) -> tuple[Alternate, ...]:
        """The approved alternates of what the line is for, save the part that is bought."""
        return tuple(
            Alternate(demand.part, part, differences(demand.part, part), self._quotes(part, wanted, ()), row.source)
            for demand in demands
            for row in self.ordering.approvals.get(demand.part.key, ())
            if (part := self.ordering.parts[row.alternate]).key != deal.part.key
        )

    def _quotes(self, part: Part, wanted: Decimal, taken: Sequence[Purchase]) -> tuple[Quote, ...]:
        market = self.ordering.whole_market
        if wanted <= 0:
            return ()
        return tuple(self._quote(part, p, taken) for p in choose(wanted, part.unit, market.of(part)))

    def _quote(self, part: Part, purchase: Purchase, taken: Sequence[Purchase]) -> Quote:
        offer, worth = purchase.offer, self.ordering.whole_market.suppliers[purchase.offer.supplier].worth
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
            in_order_currency=amount_of(units, self.ordering.asked.currency),
            lead_days=offer.lead_days,
            stock=offer.stock,
            as_of=offer.as_of,
            source=offer.source,
            refused="" if mine else self._refusal(purchase),
            taken=bool(mine),
        )

    def _refusal(self, purchase: Purchase) -> str:
        offer, most = purchase.offer, self.ordering.asked.most_days
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
        met = {number for deal in self._deals for number in deal.covers}
        left = [demand for number, demand in enumerate(self.ordering.wanted) if number not in met]
        return tuple(
            UnboughtLine(d.part, d.unit, d.needed, d.spares, d.from_stock, d.where_used, reason, d.note)
            for demands, reason in ((self.ordering.unsold, "no price"), (left, "no order was found in the time given"))
            for d in demands
        )

    @property
    def _rates(self) -> tuple[Rate, ...]:
        used = {self.ordering.market.suppliers[name].terms.currency for name in self.ordering.bought.paid}
        given = self.ordering.asked.book.rates
        return tuple(g.rate for g in given if g.to == self.ordering.asked.currency and g.rate.currency in used)

    @property
    def _naive(self) -> Naive:
        naive = self.ordering.bought.naive
        if naive is None:
            return Naive(None, 0, "bought line by line, the least order of a supplier or the stock would not do")
        return Naive(amount_of(naive[0], self.ordering.asked.currency), naive[1])

    @property
    def _proof(self) -> Proof:
        bought, currency = self.ordering.bought, self.ordering.asked.currency
        gap = amount_of(bought.total - bought.bound, currency)
        return Proof(bought.optimal, amount_of(bought.bound, currency), gap, bought.reason)

    @property
    def _reasons(self) -> tuple[str, ...]:
        market, bought = self.ordering.market, self.ordering.bought
        wants = [self._wanted(deal) for deal in self._deals]
        found = [reasons.why_unused(n, self._deals, wants, market) for n in market.suppliers if n not in bought.paid]
        return tuple(sentence for sentence in found if sentence)

    def _problems(self, suppliers: Sequence[SupplierOrder]) -> tuple[Problem, ...]:
        return (*self.ordering.input_problems, *order_problems(self.ordering, suppliers))
