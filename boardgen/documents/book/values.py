"""Every sized value with its reason and formula."""

from __future__ import annotations

from msgspec.structs import replace

from boardgen.documents.book.source import STANDINGS, Source
from boardgen.documents.identity import of_choice
from boardgen.documents.page.blocks import Column, Section, Table
from boardgen.documents.text import Text, Value
from boardgen.documents.values import SIGNS, grouped, margin_of, role_of, text, together
from boardgen.model.choice import Choice
from boardgen.spec import quantity


def section(source: Source) -> Section:
    """The values, then why, under the same numbers."""
    rows: list[tuple[Text, ...]] = []
    reasons: list[tuple[Text, ...]] = []
    for number, (choice, labels) in enumerate(grouped(source.design.choices), 1):
        where = together(labels, source.design.request.strips)
        subject = f"{choice.subject}: {where}" if where else str(choice.subject)
        part = source.design.choices.parts.get(choice.part)
        needed = (SIGNS[choice.bound], of_choice(choice, "needed", text(choice.required, choice.unit), labels))
        achieved = of_choice(choice, "achieved", text(choice.achieved, choice.unit), labels)
        margin = of_choice(choice, "margin", margin_of(choice), labels)
        rows.append((str(number), role_of(choice), subject, needed, achieved, margin, part.number if part else ""))
        source_of = of_choice(choice, "source", choice.source, labels)
        reasons.append((str(number), role_of(choice), _why(choice, labels), STANDINGS[choice.standing], source_of))
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


def _why(choice: Choice, labels: tuple[str, ...]) -> Text:
    at = f" at {quantity.format(choice.at_hz, 'Hz')}" if choice.at_hz else ""
    formula = replace(of_choice(choice, "formula", choice.formula, labels), formula=True)
    found: tuple[str | Value, ...] = (formula, "; ", of_choice(choice, "case", f"{choice.basis}{at}", labels), ".")
    if choice.next_limit:
        found = (*found, " Next: ", of_choice(choice, "next limit", choice.next_limit, labels), ".")
    return found
