"""Amounts of money: decimal, rounded half up to what a currency can be paid in."""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal

# ISO 4217, the currencies whose smallest payable unit is not a hundredth.
_DECIMAL_PLACES = {
    "BHD": 3,
    "CLP": 0,
    "IQD": 3,
    "ISK": 0,
    "JOD": 3,
    "JPY": 0,
    "KRW": 0,
    "KWD": 3,
    "LYD": 3,
    "OMR": 3,
    "PYG": 0,
    "TND": 3,
    "UGX": 0,
    "VND": 0,
    "XAF": 0,
    "XOF": 0,
    "XPF": 0,
}


def decimal_places(currency: str) -> int:
    """How many decimals an amount in this currency (ISO 4217 code) has."""
    return _DECIMAL_PLACES.get(currency, 2)


def rounded(amount: Decimal, currency: str) -> Decimal:
    """The amount in the currency's smallest unit, half up."""
    return amount.quantize(Decimal(1).scaleb(-decimal_places(currency)), ROUND_HALF_UP)


def round_up(amount: Decimal, step: Decimal) -> Decimal:
    """The smallest multiple of `step` that is at least `amount`."""
    return (amount / step).to_integral_value(ROUND_CEILING) * step


def plain(number: Decimal) -> str:
    """The number without exponent and without trailing zeros: 25, 0.1."""
    return format(number.normalize(), "f")


def price_text(price: Decimal, currency: str) -> str:
    """A unit price with at least the decimals of its currency: 2.90, 0.0125."""
    least = rounded(price, currency)
    return str(least) if least == price else plain(price)
