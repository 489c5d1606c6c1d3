"""What differs between two designs: what they do, take and cost, their values, and parts as a joined table."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from boardgen.appraisal import CONVERSION, Appraisal, Gain, appraise, gained
from boardgen.design import Design
from boardgen.documents import values
from boardgen.documents.counted import counted
from boardgen.documents.response import copper_in_short
from boardgen.documents.verdicts import credible, figure, number, state
from boardgen.model.choice import Choice, Subject

if TYPE_CHECKING:
    import pandas

    from boardgen.purchasing.bill import Bill


COLUMNS = ["part", "number", "unit", "per_board"]


def figure_rows(before: Design, after: Design) -> list[tuple[str, str, str]]:
    """Targets with bounds and states, mode conversion, size, parts, handwork and cost of both, side by side."""
    sides = (before, after)
    rows = [
        (one.judged.target.replace("_", " "), *(f"{figure(v)}: {state(v)}" for v in (one, other)))
        for one, other in zip(*(design.prediction.verdicts for design in sides), strict=True)
    ]
    told = [_told(design) for design in sides]
    return [*rows, *((name, told[0][name], told[1][name]) for name in told[0])]


def _told(design: Design) -> dict[str, str]:
    found, bill = appraise(design), design.bill
    conversion = "none" if found.conversion_db is None else credible(CONVERSION, found.conversion_db, "dB")
    size = "{:.1f} x {:.1f} mm".format(*(x * 1e3 for x in found.size_m)) if found.size_m else "not laid out"
    area = f", {found.area_m2 * 1e4:.0f} cm2" if found.area_m2 is not None else ""
    unpriced = f", {counted(len(bill.unpriced), 'line')} without a price" if bill.unpriced else ""
    return {
        CONVERSION: conversion,
        "copper": copper_in_short(design.prediction),
        "size": f"{size}{area}",
        "parts": f"{found.parts}, {counted(found.relays, 'relay')} of them",
        "handwork": f"{found.winding_h:.1f} h of winding, {found.soldering_h:.1f} h of soldering (assumed)",
        "longest cable": values.text(found.longest_m, "m") if found.longest_m else "none works",
        "parts of one board": f"{bill.board_value} {bill.currency}{unpriced}",
        "the order": f"{bill.order_total} {bill.currency} for {counted(bill.boards, 'board')}{unpriced}",
    }


def answer(before: Appraisal, after: Appraisal) -> list[str]:
    """Whether the second is worth it: what it gains, what it gives up, what it costs, and what follows."""
    return [
        f"gains: {gain_words(before, after) or 'nothing beyond what is not known'}",
        f"gives up: {gain_words(after, before) or 'nothing beyond what is not known'}",
        f"costs: {cost(before, after)}",
        conclusion(before, after),
    ]


def gain_words(before: Appraisal, after: Appraisal) -> str:
    """What is better in the second, and by how much."""
    return ", ".join(map(_gain_word, gained(before, after)))


def _gain_word(gain: Gain) -> str:
    if gain.unit in ("ports", "lines"):
        return f"{gain.figure} at {counted(round(gain.amount), gain.unit.removesuffix('s'))}"
    return f"{gain.figure} {number(gain.amount, gain.unit)}"


def cost(old: Appraisal, new: Appraisal) -> str:
    """Money, area, parts and hours that the second takes more, or less; what is the same is not said."""
    said = []
    if old.currency == new.currency:
        said.append(f"{new.board_value - old.board_value:+} {new.currency} of parts a board")
    if old.area_m2 is not None and new.area_m2 is not None and (more := round((new.area_m2 - old.area_m2) * 1e4)):
        said.append(f"{more:+d} cm2")
    if more := new.parts - old.parts:
        said.append(f"{more:+d} {'part' if abs(more) == 1 else 'parts'}")
    if more_h := round(new.handwork_h - old.handwork_h, 1):
        said.append(f"{more_h:+.1f} h of handwork")
    return ", ".join(said)


def conclusion(before: Appraisal, after: Appraisal) -> str:
    """What follows for somebody who asks whether it is worth it."""
    pairs = list(zip(before.verdicts, after.verdicts, strict=True))
    order = ("falls short", "not judged", "met as stated", "met")
    name = [one.judged.target.replace("_", " ") for one, _ in pairs]
    ranks = [(order.index(one.state), order.index(other.state)) for one, other in pairs]
    name += [*before.missed_rules, *after.missed_rules]
    ranks += [(0, int(rule not in after.missed_rules)) for rule in before.missed_rules]
    ranks += [(int(rule not in before.missed_rules), 0) for rule in after.missed_rules]
    up = [n for n, (old, new) in zip(name, ranks, strict=True) if new > old]
    down = [n for n, (old, new) in zip(name, ranks, strict=True) if new < old]
    if up and not down:
        return f"worth it for {', '.join(up)}, which the first leaves short or open"
    if down and not up:
        return f"not worth it: {', '.join(down)} would no longer be met as before"
    if up and down:
        then = [f"{n} then {order[new]}" for n, (old, new) in zip(name, ranks, strict=True) if new < old]
        return f"a trade: {', '.join(up)} gained, {', '.join(then)}"
    missed = dict.fromkeys(n for n, (_, new) in zip(name, ranks, strict=True) if new == 0)
    same = f"both fall short of {', '.join(missed)}" if missed else "no target needs it"
    if gained(before, after) and not gained(after, before):
        return f"{same}: it buys reserve alone"
    return f"{same}: it buys nothing that a target asks for"


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
        (
            values.SHOWN_ROLES.get(role, role),
            ": ".join(filter(None, (where, values.together(labels, after.request.strips)))),
            old,
            new,
        )
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
