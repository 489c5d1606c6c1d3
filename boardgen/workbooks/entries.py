"""What a buyer may enter in a workbook, cell by cell."""

from __future__ import annotations

from decimal import Decimal

from boardgen.workbooks.cells import Entry

BOARDS = Entry("Boards", "How many boards are built. A whole number from 1.", Decimal(1), whole=True)
_PIECES = Entry("Quantity", "How many you buy. A whole number, 0 for none.", whole=True)
_METRES = Entry("Quantity", "How many metres you buy, in steps of 0.1; 0 for none.")
SUPPLIER = Entry("Supplier", "Who sells it to you.", None)
ORDER_CODE = Entry("Order code", "The supplier's own number for this part.", None)
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
