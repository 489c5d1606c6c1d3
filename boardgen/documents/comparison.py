"""What differs between two designs: what they do, take and cost, their values, and parts as a joined table."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Final

from msgspec import Struct
from msgspec.structs import replace

from boardgen.design import Design
from boardgen.documents import values
from boardgen.documents.counted import counted
from boardgen.documents.response import copper_in_short
from boardgen.documents.verdicts import credible, figure, number, state
from boardgen.model.choice import Choice, Subject
from boardgen.model.roles import RoleName
from boardgen.rf.quantities import QUANTITIES
from boardgen.rf.response import CREDIBLE_DB
from boardgen.rf.verdict import Verdict

if TYPE_CHECKING:
    import pandas

    from boardgen.purchasing.bill import Bill


CONVERSION = "mode conversion"
PER_TURN_S, PER_WINDING_S = 20.0, 180.0
"""Of winding by hand: a turn through both holes; cutting, scraping and tinning the ends of one winding. Assumed."""
WINDING_ROLES: Final[tuple[RoleName, RoleName]] = ("turns", "port turns")
HEARD = 0.25
"""Share of a bound below which two predicted figures are told as equal: half of either side of it is not known."""
COLUMNS = ["part", "number", "unit", "per_board"]


class Figures(Struct, frozen=True):
    """What a design takes: area in square metres, None where it is not laid out, and hours of winding."""

    parts: int
    relays: int
    area_m2: float | None
    winding_h: float
    conversion_db: float | None
    longest_m: float


def figures(design: Design) -> Figures:
    """The figures by which two designs are told apart, beside their targets, their size and their cost."""
    fitted = [c for c in design.netlist.components if c.fitted]
    values_of = {(c.role, c.subject): c for c in design.choices.values}
    there = {c.subject.strip for c in fitted if c.part.kind == "core"}
    turns = [
        values_of[role, at].chosen for at in design.choices.windings if at.strip in there for role in WINDING_ROLES
    ]
    conversion = design.prediction.worst_in_band(CONVERSION)
    return Figures(
        len(fitted),
        sum(c.part.kind == "relay" for c in fitted),
        design.layout.board.area_m2 if design.layout else None,
        sum(PER_TURN_S * n + PER_WINDING_S for n in turns) / 3600,
        conversion[0] if conversion else None,
        next(c.achieved for c in design.choices.values if c.role == "longest cable"),
    )


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
    found, bill, made = figures(design), design.bill, design.layout
    conversion = "none" if found.conversion_db is None else credible(CONVERSION, found.conversion_db, "dB")
    size = f"{made.board.width_nm / 1e6:.1f} x {made.board.height_nm / 1e6:.1f} mm" if made else "not laid out"
    area = f", {found.area_m2 * 1e4:.0f} cm2" if found.area_m2 is not None else ""
    unpriced = f", {counted(len(bill.unpriced), 'line')} without a price" if bill.unpriced else ""
    return {
        CONVERSION: conversion,
        "copper": copper_in_short(design.prediction),
        "size": f"{size}{area}",
        "parts": f"{found.parts}, {counted(found.relays, 'relay')} of them",
        "winding": f"{found.winding_h:.1f} h by hand (assumed)",
        "longest cable": values.text(found.longest_m, "m"),
        "parts of one board": f"{bill.board_value} {bill.currency}{unpriced}",
        "the order": f"{bill.order_total} {bill.currency} for {counted(bill.boards, 'board')}{unpriced}",
    }


def answer(before: Design, after: Design) -> list[str]:
    """Whether the second is worth it: what it gains, what it gives up, what it costs, and what follows."""
    pairs = list(zip(before.prediction.verdicts, after.prediction.verdicts, strict=True))
    better = [words for one, other in pairs if (words := _gain(one, other, 1))]
    worse = [words for one, other in pairs if (words := _gain(one, other, -1))]
    better += _conversion(before, after, 1)
    worse += _conversion(before, after, -1)
    return [
        f"gains: {', '.join(better) or 'nothing beyond what is not known'}",
        f"gives up: {', '.join(worse) or 'nothing beyond what is not known'}",
        f"costs: {_cost(before, after)}",
        _conclusion(pairs, bool(better), bool(worse)),
    ]


def _gain(before: Verdict, after: Verdict, sign: int) -> str:
    """By how much a target's figure is better, or worse for a sign of -1; nothing within a share of its bound.

    What is better than can be believed is no better still.
    """
    old, new = before.judged, after.judged
    if old.achieved is None or new.achieved is None or before.bound is None or after.bound is None:
        return ""
    limit = CREDIBLE_DB.get(new.quantity, float("inf"))
    change = min(new.achieved, limit) - min(old.achieved, limit)
    gained = change if QUANTITIES[new.quantity].larger_is_better else -change
    least = HEARD * max(b.highest - b.lowest for b in (before.bound, after.bound))
    return f"{new.target.replace('_', ' ')} {number(abs(change), new.unit)}" if sign * gained > least else ""


def _conversion(before: Design, after: Design, sign: int) -> list[str]:
    limit = CREDIBLE_DB[CONVERSION]
    old, new = (figures(design).conversion_db for design in (before, after))
    if old is None or new is None:
        return []
    change = min(new, limit) - min(old, limit)
    return [f"{CONVERSION} {number(abs(change), 'dB')}"] if sign * change > 1 else []


def _cost(before: Design, after: Design) -> str:
    """Money, area and hours that the second takes more, or less."""
    old, new = figures(before), figures(after)
    said = []
    if before.bill.currency == after.bill.currency:
        money = after.bill.board_value - before.bill.board_value
        said.append(f"{money:+} {after.bill.currency} of parts a board")
    if old.area_m2 is not None and new.area_m2 is not None:
        said.append(f"{(new.area_m2 - old.area_m2) * 1e4:+.0f} cm2")
    said.append(f"{new.parts - old.parts:+d} parts")
    said.append(f"{new.winding_h - old.winding_h:+.1f} h of winding")
    return ", ".join(said)


def _conclusion(pairs: list[tuple[Verdict, Verdict]], better: bool, worse: bool) -> str:
    """What follows for somebody who asks whether it is worth it."""
    order = ("falls short", "not judged", "met as stated", "met")
    name = [one.judged.target.replace("_", " ") for one, _ in pairs]
    ranks = [(order.index(one.state), order.index(other.state)) for one, other in pairs]
    up = [n for n, (old, new) in zip(name, ranks, strict=True) if new > old]
    down = [n for n, (old, new) in zip(name, ranks, strict=True) if new < old]
    if up and not down:
        return f"worth it for {', '.join(up)}, which the first leaves short or open"
    if down and not up:
        return f"not worth it: {', '.join(down)} would no longer be met as before"
    if up and down:
        return f"a trade: {', '.join(up)} gained, {', '.join(down)} lost"
    missed = [n for n, (_, new) in zip(name, ranks, strict=True) if new == 0]
    same = f"both fall short of {', '.join(missed)}" if missed else "no target needs it"
    if better and not worse:
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
