"""What an order says beside a line."""

from __future__ import annotations

from boardgen.purchasing.money import plain
from boardgen.purchasing.order import OrderLine
from boardgen.purchasing.part_name import part_name


def order_note(line: OrderLine) -> str:
    """The line's own note, what it stands in for, what is wrong with its price or stock, and why it was chosen."""
    said = [line.note]
    if line.instead_of:
        said.append(f"approved instead of {', '.join(part_name(part) for part in line.instead_of)}")
    if line.minimum > 1:
        said.append(f"sold from {plain(line.minimum)}")
    if line.stock is not None and line.stock < line.quantity:
        said.append(f"stock short: {plain(line.stock)}")
    if line.invented:
        said.append("price invented")
    said.append(line.explanation)
    return "; ".join(piece for piece in said if piece)
