"""Money and quantities as whole numbers, so that a solver can be given exactly what is paid.

Amounts are in the smallest unit of their currency; quantities and unit prices are scaled by SCALE, which holds all the
decimals that a price file may give. Everything here is exact: integers and fractions, no floats.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from boardgen.purchasing.money import decimal_places
from boardgen.purchasing.offer import Offer

DECIMALS = 8
SCALE = 10**DECIMALS


def scaled(number: Decimal) -> int:
    """The number times SCALE. It has at most DECIMALS decimals."""
    return int(number.scaleb(DECIMALS))


def unscaled(number: int) -> Decimal:
    """The number over SCALE, without trailing zeros."""
    found = Decimal(number).scaleb(-DECIMALS).normalize()
    return found if found.as_tuple().exponent <= 0 else found.quantize(Decimal(1))  # type: ignore[operator]


def half_up(numerator: int, denominator: int) -> int:
    """The quotient rounded half up; both are not negative."""
    return (2 * numerator + denominator) // (2 * denominator)


def half_up_of(number: Fraction) -> int:
    """The number rounded half up; it is not negative."""
    return half_up(number.numerator, number.denominator)


def smallest_units(amount: Decimal, currency: str) -> int:
    """The amount in the smallest unit of its currency, rounded half up."""
    return half_up_of(Fraction(amount) * 10 ** decimal_places(currency))


def amount_of(units: int, currency: str) -> Decimal:
    """So many of the smallest units as an amount with the currency's decimals."""
    return Decimal(units).scaleb(-decimal_places(currency))


class ScaledBreak(Struct, frozen=True):
    """One price break: it holds for scaled quantities from `low` on and below `high` (None: no end)."""

    low: int
    high: int | None
    price: int


class ScaledOffer(Struct, frozen=True):
    """An offer in whole numbers, all quantities scaled.

    `step` divides every quantity; `floor` is the least that is sold; a line costs price x quantity over `divisor`,
    rounded half up, in the smallest unit of the currency. `most` is the greatest quantity that the stock covers, None
    where it has no end.
    """

    original: Offer
    step: int
    floor: int
    most: int | None
    divisor: int
    breaks: tuple[ScaledBreak, ...]

    @property
    def supplier(self) -> str:
        """Who makes the offer."""
        return self.original.supplier

    def least(self, quantity: int) -> int:
        """The least that can be bought of at least this quantity."""
        return -(-max(quantity, self.floor) // self.step) * self.step

    def cost(self, quantity: int, price: int) -> int:
        """What a line of that quantity costs at that price."""
        return half_up(quantity * price, self.divisor)

    def price(self, quantity: int) -> int:
        """The price of one at this quantity, which is at least `floor`."""
        return next(price_break.price for price_break in reversed(self.breaks) if price_break.low <= quantity)


def scaled_offer(offer: Offer, unit: str, *, any_stock: bool = False) -> ScaledOffer:
    """The offer in whole numbers; of a "piece" only whole ones are bought. `any_stock` takes the stock as endless."""
    starts = [scaled(b.quantity) for b in offer.breaks]
    floor = max(scaled(offer.minimum), starts[0])
    # the numerator of the multiple in lowest terms is the least whole number that is a multiple of it
    step = Fraction(offer.multiple).numerator * SCALE if unit == "piece" else scaled(offer.multiple)
    ends: list[int | None] = [*starts[1:], None]
    breaks = tuple(
        ScaledBreak(max(start, floor), end, scaled(b.unit_price))
        for b, start, end in zip(offer.breaks, starts, ends, strict=True)
        if end is None or end > floor
    )
    most = None if offer.stock is None or any_stock else scaled(offer.stock) // step * step
    return ScaledOffer(offer, step, floor, most, SCALE * SCALE // 10 ** decimal_places(offer.currency), breaks)
