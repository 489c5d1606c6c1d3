"""What a bill and an order say beside a line."""

from __future__ import annotations

from boardgen.purchasing.bill import BillLine
from boardgen.purchasing.choose import describe
from boardgen.purchasing.money import plain
from boardgen.purchasing.order import OrderLine


def bill_note(line: BillLine) -> str:
    """The line's own note, what is wrong with its price, why the quantity, and the best of the other suppliers."""
    said = [line.note]
    if line.in_hand:
        said.append(f"{plain(line.in_hand)}{'' if line.unit == 'piece' else f' {line.unit}'} in hand")
    if line.unpriced:
        said.append("no price")
    elif line.purchase and not line.purchase.in_stock:
        said.append("stock short")
    if line.invented and "invented" not in line.supplier.lower():
        said.append("price invented")
    said.append(line.explanation)
    if line.alternatives:
        said.append(f"else {describe(line.alternatives[0])}")
    return "; ".join(piece for piece in said if piece)


def order_note(line: OrderLine) -> str:
    """The line's own note, what is wrong with its stock or price, and why it was chosen.

    The supplier may read it, so it names no other.
    """
    said = [line.note]
    if line.stock is not None and line.stock < line.quantity:
        said.append(f"only {plain(line.stock)} in stock")
    if line.invented:
        said.append("price invented")
    said.append(line.explanation)
    return "; ".join(piece for piece in said if piece)
