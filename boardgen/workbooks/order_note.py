"""What an order says beside a line. The supplier may read it, so it names no other."""

from __future__ import annotations

from boardgen.purchasing.money import plain
from boardgen.purchasing.order import OrderLine


def order_note(line: OrderLine) -> str:
    """The line's own note, what is wrong with its stock or price, and why it was chosen."""
    said = [line.note]
    if line.stock is not None and line.stock < line.quantity:
        said.append(f"only {plain(line.stock)} in stock")
    if line.invented:
        said.append("price invented")
    said.append(line.explanation)
    return "; ".join(piece for piece in said if piece)
