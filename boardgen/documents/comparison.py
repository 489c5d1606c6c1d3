"""What differs between two designs: values, and parts as a joined table."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from boardgen.design import Design
from boardgen.documents import values
from boardgen.model.choice import Choice, Subject

if TYPE_CHECKING:
    import pandas

    from boardgen.purchasing.bill import Bill


COLUMNS = ["part", "number", "unit", "per_board"]


class ValueChange(Struct, frozen=True):
    """A value that differs; None on the side where it does not exist."""

    role: str
    subject: Subject
    before: Choice | None
    after: Choice | None


def value_changes(before: Design, after: Design) -> list[ValueChange]:
    """Values whose number or part changed, in the order of the second design, then what is gone."""
    old = {(c.role, c.subject): c for c in before.choices.values}
    new = {(c.role, c.subject): c for c in after.choices.values}
    keys = [*new, *(key for key in old if key not in new)]
    return [
        ValueChange(*key, old.get(key), new.get(key))
        for key in keys
        if _essence(old.get(key)) != _essence(new.get(key))
    ]


def _essence(choice: Choice | None) -> tuple[object, ...]:
    if choice is None:
        return ()
    return choice.part, round_number(choice.chosen), round_number(choice.required)


def round_number(value: float) -> float:
    """Six significant digits: what is closer is equal."""
    return float(f"{value:.6g}")


def value_rows(before: Design, after: Design) -> list[tuple[str, str, str, str]]:
    """Role, where, before and after of each change, strips that change alike on one row."""
    grouped: dict[tuple[str, str, str, str], list[str]] = {}
    for change in value_changes(before, after):
        where = str(replace(change.subject, strip=""))
        key = (change.role, where, _shown(change.before, before), _shown(change.after, after))
        if key[2] != key[3]:
            grouped.setdefault(key, []).append(change.subject.strip)
    return [
        (role, ": ".join(filter(None, (where, values.together(labels, after.request.strips)))), old, new)
        for (role, where, old, new), labels in grouped.items()
    ]


def _shown(choice: Choice | None, design: Design) -> str:
    if choice is None:
        return "none"
    part = design.choices.parts.get(choice.part)
    return f"{values.text(choice.chosen, choice.unit)} {part.number if part else ''}".strip()


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
