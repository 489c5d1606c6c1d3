"""Quantities and prices as cells: how many decimals they show, and what may be entered."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from boardgen.purchasing.money import decimal_places, plain
from boardgen.purchasing.needs import STEP
from boardgen.workbooks import style
from boardgen.workbooks.cells import Number
from boardgen.workbooks.entries import price_entry


def places_of(number: Decimal) -> int:
    """How many decimals the number has."""
    return len(plain(number).partition(".")[2])


def most_places(numbers: Iterable[Decimal | None]) -> int:
    """The decimals of the number that has most of them; 0 for none."""
    return max((places_of(number) for number in numbers if number is not None), default=0)


def quantity_places(unit: str) -> int:
    """The decimals of a quantity in this unit."""
    return places_of(STEP[unit])


def price_entry_cell(unit_price: Decimal | None, currency: str, places: int) -> Number:
    """A unit price to be entered, its decimals below those of the others, of which the longest has so many."""
    least = decimal_places(currency)
    form = style.digits(least, max(0, places - least)) if least else ""
    return Number(unit_price, max(least, places), price_entry(currency), form)
