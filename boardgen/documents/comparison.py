"""What differs between two designs: values, parts and cost."""

from __future__ import annotations

from msgspec import Struct

from boardgen.design import Design
from boardgen.documents import problems, values
from boardgen.documents.part_changes import part_changes
from boardgen.model.choice import Choice, Subject

SCHEMA = "boardgen comparison 1"


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


def document(before: Design, after: Design) -> dict[str, object]:
    """The comparison as plain data."""
    return {
        "schema": SCHEMA,
        "before": _side(before),
        "after": _side(after),
        "shortfalls": problems.as_json(problems.shortfalls(after.problems)),
        "values": [
            {
                "role": change.role,
                "subject": str(change.subject),
                "unit": (change.after or change.before or _missing()).unit,
                "before": change.before.chosen if change.before else None,
                "after": change.after.chosen if change.after else None,
                "part_before": change.before.part if change.before else None,
                "part_after": change.after.part if change.after else None,
            }
            for change in value_changes(before, after)
        ],
        "parts": [
            {"part": c.key, "number": c.number, "unit": c.unit, "before": str(c.before), "after": str(c.after)}
            for c in part_changes(before.bill, after.bill)
        ],
    }


def _missing() -> Choice:
    raise ValueError("a change has at least one side")


def _side(design: Design) -> dict[str, object]:
    return {
        "title": design.spec.title,
        "lowest_hz": design.spec.band.lowest,
        "highest_hz": design.spec.band.highest,
        "parts": sum(c.fitted for c in design.netlist.components),
        "board_value": str(design.bill.board_value),
        "order_total": str(design.bill.order_total),
        "currency": design.bill.currency,
    }


def value_rows(before: Design, after: Design) -> list[tuple[str, str, str, str]]:
    """Role, where, before and after of each change, strips that change alike on one row."""
    grouped: dict[tuple[str, str, str, str], list[str]] = {}
    for change in value_changes(before, after):
        where = str(Subject("", change.subject.stage, change.subject.slot))
        key = (change.role, where, _shown(change.before, before), _shown(change.after, after))
        if key[2] != key[3]:
            grouped.setdefault(key, []).append(change.subject.strip)
    return [
        (role, f"{where}: {values.together(labels, after.request.strips)}".removesuffix(": "), old, new)
        for (role, where, old, new), labels in grouped.items()
    ]


def _shown(choice: Choice | None, design: Design) -> str:
    if choice is None:
        return "none"
    part = design.choices.parts.get(choice.part)
    return f"{values.text(choice.chosen, choice.unit)} {part.number if part else ''}".strip()
