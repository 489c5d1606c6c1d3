"""What a bill says beside a line."""

from __future__ import annotations

from boardgen.purchasing.bill import BillLine
from boardgen.purchasing.choose import describe


def line_note(line: BillLine) -> str:
    """The line's own note, what is wrong with its price, why the quantity, and the best of the other suppliers."""
    said = [line.note]
    if line.purchase is None:
        said.append("no price")
    elif not line.purchase.in_stock:
        said.append("stock short")
    if line.invented and "invented" not in line.supplier.lower():
        said.append("price invented")
    said.append(line.explanation)
    if line.alternatives:
        said.append(f"else {describe(line.alternatives[0])}")
    return "; ".join(piece for piece in said if piece)
