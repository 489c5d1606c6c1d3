"""Who sells, on what terms and in which currency: what an order is chosen from."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from functools import cached_property

from msgspec import Struct
from msgspec.structs import replace

from boardgen.model.part import Part
from boardgen.model.problem import Place, Problem
from boardgen.purchasing.integer_scaling import ScaledOffer, amount_of, half_up_of, scaled_offer, smallest_units
from boardgen.purchasing.money import decimal_places
from boardgen.purchasing.offer import Offer
from boardgen.purchasing.order import Rate, SupplierTerms


class Payment(Struct, frozen=True):
    """What one supplier is paid, in the smallest unit of its currency; `converted` in that of the order's."""

    goods: int
    shipping: int
    fee: int
    tax: int
    total: int
    converted: int

    def amounts(self, currency: str, order_currency: str) -> dict[str, Decimal]:
        """The same as amounts, by the names that they have in an order to one supplier."""
        units = {
            "goods": self.goods,
            "shipping": self.shipping,
            "order_fee": self.fee,
            "tax": self.tax,
            "total": self.total,
        }
        amounts = {name: amount_of(number, currency) for name, number in units.items()}
        return amounts | {"in_order_currency": amount_of(self.converted, order_currency)}


class Supplier(Struct, frozen=True):
    """A supplier in whole numbers, amounts in the smallest unit of its currency.

    `rate` is how much of the order's currency one unit of its own is worth, `worth` the same in smallest units; `tax`
    is a share of goods, shipping and fee.
    """

    terms: SupplierTerms
    rate: Decimal
    shipping: int
    free_from: int | None
    fee: int
    tax: Fraction
    minimum: int | None
    worth: Fraction

    @property
    def name(self) -> str:
        """Who it is."""
        return self.terms.supplier

    @property
    def worth_reaching(self) -> int:
        """Most that buying more than is required can be worth here: the freight it saves, or the least order."""
        return max(self.shipping if self.free_from is not None else 0, self.minimum or 0)

    def payment(self, goods: int) -> Payment:
        """What is paid for goods of that value, where something is bought."""
        shipping = 0 if self.free_from is not None and goods >= self.free_from else self.shipping
        net = goods + shipping + self.fee
        tax = half_up_of(net * self.tax)
        return Payment(goods, shipping, self.fee, tax, net + tax, half_up_of((net + tax) * self.worth))


class Market(Struct, frozen=True, dict=True):
    """All offers that an order in `currency` may use, each of one part, each supplier in one currency."""

    currency: str
    offers: tuple[Offer, ...]
    suppliers: Mapping[str, Supplier]

    def of(self, part: Part) -> tuple[Offer, ...]:
        """The offers of a part."""
        return self._by_key.get(part.key, ())

    def scaled_offers(self, part: Part, *, any_stock: bool = False) -> tuple[ScaledOffer, ...]:
        """The same in whole numbers; `any_stock` takes the stock as endless."""
        key = (part.key, part.unit, any_stock)
        if key not in self._scaled:
            self._scaled[key] = tuple(scaled_offer(offer, part.unit, any_stock=any_stock) for offer in self.of(part))
        return self._scaled[key]

    @cached_property
    def _scaled(self) -> dict[tuple[str, str, bool], tuple[ScaledOffer, ...]]:
        return {}

    @cached_property
    def _by_key(self) -> dict[str, tuple[Offer, ...]]:
        found: dict[str, list[Offer]] = {}
        for offer in self.offers:
            found.setdefault(offer.part, []).append(offer)
        return {key: tuple(offers) for key, offers in found.items()}


def market(
    offers: Sequence[Offer], terms: Sequence[SupplierTerms], rates: Sequence[Rate], currency: str
) -> tuple[Market, tuple[Problem, ...]]:
    """The market in a currency, and what of the offers cannot be used in it.

    A supplier is paid in the currency of the order where it has prices in that, else in the first of the price files
    that there is a rate for; its prices in others are left out.

    Parameters
    ----------
    offers
        Each of one part, those of families made out to it.
    terms
        Of suppliers, each in one currency; where none are known, freight, fee and tax are taken as nothing.
    rates
        Into the currency of the order.
    currency
        That of the order.

    """
    by_currency = {rate.currency: rate.rate for rate in rates} | {currency: Decimal(1)}
    known = {(t.supplier, t.currency): t for t in terms}
    suppliers: dict[str, Supplier] = {}
    problems: list[Problem] = []
    for name, currencies in _currencies(offers).items():
        usable = [c for c in (currency, *currencies) if c in currencies and c in by_currency]
        if not usable:
            problems.append(_no_rate(name, currencies, currency))
            continue
        found = known.get((name, usable[0]))
        if found is None:
            problems.append(_no_terms(name, usable[0]))
            found = SupplierTerms(name, usable[0], known=False)
        suppliers[name] = _supplier(found, by_currency[usable[0]], currency)
    used = tuple(o for o in offers if o.supplier in suppliers and suppliers[o.supplier].terms.currency == o.currency)
    return Market(currency, used, suppliers), tuple(problems)


def without(of: Market, names: Iterable[str]) -> Market:
    """The market without these suppliers."""
    gone = set(names)
    offers = tuple(offer for offer in of.offers if offer.supplier not in gone)
    return replace(of, offers=offers, suppliers={n: s for n, s in of.suppliers.items() if n not in gone})


def _currencies(offers: Sequence[Offer]) -> dict[str, list[str]]:
    found: dict[str, dict[str, None]] = {}
    for offer in offers:
        found.setdefault(offer.supplier, {})[offer.currency] = None
    return {name: list(currencies) for name, currencies in sorted(found.items())}


def payment_for(goods: int, terms: SupplierTerms, rate: Decimal, currency: str) -> Payment:
    """What an order to one supplier comes to, as `Supplier.payment`; nothing where the goods are worth nothing."""
    return _supplier(terms, rate, currency).payment(goods) if goods else Payment(0, 0, 0, 0, 0, 0)


def _supplier(terms: SupplierTerms, rate: Decimal, currency: str) -> Supplier:
    """A supplier in whole numbers; one unit of its currency is worth `rate` of `currency`, that of the order."""

    def reached(amount: Decimal | None) -> int | None:
        """The least that reaches the amount."""
        return None if amount is None else math.ceil(amount.scaleb(decimal_places(terms.currency)))

    places = decimal_places(currency) - decimal_places(terms.currency)
    return Supplier(
        terms,
        rate,
        smallest_units(terms.shipping, terms.currency),
        reached(terms.free_from),
        smallest_units(terms.order_fee, terms.currency),
        Fraction(terms.tax_percent) / 100,
        reached(terms.minimum_order),
        Fraction(rate) * Fraction(10) ** places,
    )


def _no_rate(name: str, currencies: Sequence[str], currency: str) -> Problem:
    return Problem(
        "rate-missing",
        "warning",
        Place(key=name),
        f"left out: its prices are in {' and '.join(currencies)}, and no rate to {currency} is given",
        "",
        f"Give a row from {currencies[0]} to {currency} in a table of rates",
    )


def _no_terms(name: str, currency: str) -> Problem:
    return Problem(
        "terms-missing",
        "warning",
        Place(key=name),
        f"no terms in {currency} are known; freight, fee and tax are taken as nothing",
        "",
        "Give a row in a table of suppliers",
    )
