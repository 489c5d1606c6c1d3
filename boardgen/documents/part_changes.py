"""Which parts of two bills differ, as a joined table."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from msgspec import Struct

if TYPE_CHECKING:
    import pandas

    from boardgen.purchasing.bill import Bill

COLUMNS = ["part", "number", "unit", "per_board"]


class PartChange(Struct, frozen=True):
    """How many of a part one board takes, before and after."""

    key: str
    number: str
    unit: str
    before: Decimal
    after: Decimal


def frame(bill: Bill) -> pandas.DataFrame:
    """One row a line of the bill: part key, maker's number, unit, and the exact quantity a board."""
    import pandas

    rows = [(line.part.key, line.part.number, line.unit, line.per_board) for line in bill.lines]
    return pandas.DataFrame(rows, columns=COLUMNS)


def part_changes(before: Bill, after: Bill) -> list[PartChange]:
    """Parts whose quantity a board changed: those of the first bill in its order, then what is new."""
    keys = COLUMNS[:3]
    joined = frame(before).merge(frame(after), on=keys, how="outer", sort=False, suffixes=("_before", "_after"))
    order = {line.part.key: n for n, line in enumerate((*after.lines, *before.lines))}
    changes = [
        PartChange(part, number, unit, *(Decimal() if amount != amount else amount for amount in amounts))
        for part, number, unit, *amounts in joined.itertuples(index=False, name=None)
    ]
    return sorted((c for c in changes if c.before != c.after), key=lambda c: (not c.before, order[c.key]))
