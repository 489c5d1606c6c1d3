"""Every sized value with its reason and formula."""

from __future__ import annotations

from msgspec.structs import replace

from boardgen.documents.book.source import STANDINGS, Source
from boardgen.documents.page.blocks import Column, Section, Table
from boardgen.documents.values import SIGNS, text, together
from boardgen.model.choice import Choice
from boardgen.spec import quantity


def section(source: Source) -> Section:
    """The values, then why, under the same numbers."""
    grouped: dict[Choice, list[str]] = {}
    for choice in source.design.choices.values:
        alike = replace(choice, subject=replace(choice.subject, strip=""))
        grouped.setdefault(alike, []).append(choice.subject.strip)
    rows, reasons = [], []
    for number, (choice, labels) in enumerate(grouped.items(), 1):
        where = together(labels, source.design.request.strips)
        subject = f"{choice.subject}: {where}" if where else str(choice.subject)
        part = source.design.choices.parts.get(choice.part)
        needed = SIGNS[choice.bound] + text(choice.required, choice.unit)
        achieved = text(choice.achieved, choice.unit)
        rows.append((str(number), choice.role, subject, needed, achieved, _margin(choice), part.number if part else ""))
        reasons.append((str(number), choice.role, _why(choice), STANDINGS[choice.standing], choice.source))
    values = Table(
        "Values: what was needed and what the part taken achieves in the worst case",
        (
            Column("No.", "number"), Column("Value"), Column("For"), Column("Needed", narrow=True),
            Column("Achieved", narrow=True), Column("Margin", "number"), Column("Part", "code"),
        ),
        rows,
    )  # fmt: skip
    why = Table(
        "Reasons and formulas, under the same numbers",
        (Column("No.", "number"), Column("Value"), Column("Formula and case"), Column("Standing"), Column("Source")),
        reasons,
    )
    do = "Look here before you exchange a part: the new one must meet what is needed, in the case named."
    return Section("values", "Values and their reasons", do, (values, why))


def _margin(choice: Choice) -> str:
    return "" if choice.margin is None else f"{min(choice.margin, 999):.2f}"


def _why(choice: Choice) -> str:
    at = f" at {quantity.format(choice.at_hz, 'Hz')}" if choice.at_hz else ""
    following = f" Next: {choice.next_limit}." if choice.next_limit else ""
    return f"{choice.formula}; {choice.basis}{at}.{following}"
