"""What a buyer may enter in a workbook, and quantities and prices as cells."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from boardgen.purchasing.money import decimal_places, plain
from boardgen.purchasing.needs import STEP
from boardgen.workbooks.cells import Entry, Formula, Number, TextEntry, number_format

_PIECES = Entry("Quantity", "How many you buy. A whole number, 0 for none.", whole=True)
_METRES = Entry("Quantity", "How many metres you buy, in steps of 0.1; 0 for none.")
SUPPLIER = Entry("Supplier", "Who sells it to you.", None)
ORDER_CODE = Entry("Order code", "The supplier's own number for this part.", None)
TICK = TextEntry("[ ]", Entry("Checked", "Write [x] where it is checked.", None))
LEAD = Entry("Lead time", "Days until the supplier delivers. A whole number; blank where not known.", whole=True)
TERM_ENTRIES = {
    "shipping": Entry("Shipping", "What the supplier asks for sending one order; 0 where it is free."),
    "free_from": Entry(
        "Free shipping", "Value of goods from which shipping costs nothing; blank where it never is free."
    ),
    "order_fee": Entry("Order fee", "Handling or small-order fee of one order; 0 for none."),
    "tax_percent": Entry("Tax", "Per cent on goods, shipping and fee together, such as 13; 0 for none."),
    "minimum_order": Entry("Least order", "The least value of goods that is sold; blank for none."),
    "rate": Entry("Rate", "What one unit of the supplier's currency is worth.", Decimal("0.000001")),
}
"""A supplier's terms, by the name of the field."""


def quantity_entry(unit: str) -> Entry:
    """A quantity in this unit, "piece" or "m"."""
    return _PIECES if unit == "piece" else _METRES


def price_entry(currency: str) -> Entry:
    """A unit price."""
    return Entry("Unit price", f"The price of one piece or metre in {currency} at this quantity, before tax.")


def price_entry_cell(unit_price: Decimal | None, currency: str, places: int, formula: str = "") -> Number | Formula:
    """A unit price to be entered, its decimals below those of the others, of which the longest has so many.

    With a `formula` it follows that until it is written over.
    """
    least = decimal_places(currency)
    form, shown = number_format(least, max(0, places - least)) if least else "", max(least, places)
    if formula:
        return Formula(formula, unit_price, shown, form, price_entry(currency))
    return Number(unit_price, shown, price_entry(currency), form)


def lead_entry_cell(days: int | None) -> Number:
    """Days until delivery, to be entered; blank where they are not known."""
    return Number(None if days is None else Decimal(days), entry=LEAD)


def places_of(number: Decimal) -> int:
    """How many decimals the number has."""
    return len(plain(number).partition(".")[2])


def most_places(numbers: Iterable[Decimal | None]) -> int:
    """The decimals of the number that has most of them; 0 for none."""
    return max((places_of(number) for number in numbers if number is not None), default=0)


def quantity_places(unit: str) -> int:
    """The decimals of a quantity in this unit."""
    return places_of(STEP[unit])
