"""What was changed in an order, for the terminal."""

from __future__ import annotations

from collections.abc import Sequence

from boardgen.purchasing.order import Order
from boardgen.purchasing.quotes import Change

HEADINGS = ("supplier", "line", "part", "what", "before", "now")


def rows(changes: Sequence[Change]) -> list[tuple[str, ...]]:
    """A row a change."""
    return [
        (
            change.supplier,
            "" if change.line is None else str(change.line),
            change.part or "terms",
            change.what,
            change.before,
            change.after,
        )
        for change in changes
    ]


def cost_line(before: Order, after: Order) -> str:
    """What the entries do to the total."""
    more = after.total - before.total
    if not more:
        return f"the total stays {after.total} {after.currency}"
    difference = f"{more} {after.currency} more" if more > 0 else f"{-more} {after.currency} less"
    return f"the total was {before.total} {before.currency} and is {after.total} {after.currency}: {difference}"
