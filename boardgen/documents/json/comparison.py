"""What `compare` says: both designs in figures, and every value and part that differs."""

from __future__ import annotations

from typing import Annotated

from boardgen.appraisal import appraise
from boardgen.design import Design
from boardgen.documents import comparison
from boardgen.documents.comparison import ValueChange
from boardgen.documents.json import document
from boardgen.documents.json.document import Problem, Record, says
from boardgen.documents.json.response import targets_document
from boardgen.documents.json.values import Target
from boardgen.documents.response import copper_in_short


class Side(Record, frozen=True):
    """One of the two designs."""

    title: str
    lowest_hz: float
    highest_hz: float
    targets: Annotated[tuple[Target, ...], says("As build judges them, with the copper of the layout.")]
    mode_conversion_db: Annotated[float | None, says("The worst in the band.")]
    copper: Annotated[str, says("Whether the prediction has the copper of a layout.")]
    area_cm2: Annotated[float | None, says("Null where it could not be laid out.")]
    parts: Annotated[int, says("Fitted parts of a board.")]
    relays: int
    winding_hours: Annotated[float, says("By hand; assumed times for a turn and a winding.")]
    longest_cable_m: float
    board_value: Annotated[str, says("What the parts of one board cost.")]
    order_total: str
    currency: str


class Value(Record, frozen=True):
    """A value that differs; null on the side where it does not exist."""

    role: str
    subject: str
    unit: str
    before: float | None
    after: float | None
    part_before: str | None
    part_after: str | None


class PartAmount(Record, frozen=True):
    """How many of a part one board takes."""

    part: Annotated[str, says("Its key in the catalogue.")]
    number: Annotated[str, says("The maker's number.")]
    unit: str
    before: str
    after: str


class Comparison(Record, frozen=True, tag_field="schema", tag="boardgen comparison 1"):
    """What differs between two designs."""

    before: Side
    after: Side
    shortfalls: Annotated[tuple[Problem, ...], says("Those of the second design.")]
    values: tuple[Value, ...]
    parts: tuple[PartAmount, ...]
    answer: Annotated[tuple[str, ...], says("What the second gains, gives up and costs, and what follows.")]


def comparison_document(before: Design, after: Design) -> Comparison:
    """The comparison of two designs."""
    parts = comparison.part_changes(before.bill, after.bill)
    return Comparison(
        before=_side(before),
        after=_side(after),
        shortfalls=document.shortfalls(after.problems),
        values=tuple(_value(change) for change in comparison.value_changes(before, after)),
        parts=tuple(PartAmount(c.key, c.number, c.unit, str(c.before), str(c.after)) for c in parts),
        answer=tuple(comparison.answer(appraise(before), appraise(after))),
    )


def _side(design: Design) -> Side:
    found = appraise(design)
    return Side(
        title=design.spec.title,
        lowest_hz=design.spec.band.lowest,
        highest_hz=design.spec.band.highest,
        targets=targets_document(design.prediction),
        mode_conversion_db=found.conversion_db,
        copper=copper_in_short(design.prediction),
        area_cm2=None if found.area_m2 is None else round(found.area_m2 * 1e4, 2),
        parts=found.parts,
        relays=found.relays,
        winding_hours=found.winding_h,
        longest_cable_m=found.longest_m,
        board_value=str(design.bill.board_value),
        order_total=str(design.bill.order_total),
        currency=design.bill.currency,
    )


def _value(change: ValueChange) -> Value:
    old, new = change.before, change.after
    return Value(
        role=change.role,
        subject=str(change.subject),
        unit=new.unit if new else old.unit if old else "",
        before=old.chosen if old else None,
        after=new.chosen if new else None,
        part_before=old.part if old else None,
        part_after=new.part if new else None,
    )
