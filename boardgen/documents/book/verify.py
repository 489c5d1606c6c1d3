"""Second section: what to verify before money is spent."""

from __future__ import annotations

from boardgen.documents.book.source import STANDINGS, Source
from boardgen.documents.order_files import to_verify
from boardgen.documents.page.blocks import Column, Section, Table
from boardgen.workbooks.assumptions import assumption_rows


def section(source: Source) -> Section:
    """A box for each part with something to verify, in the order of the bill."""
    names = sorted({part.name for part in source.design.parts}, key=len, reverse=True)
    found: dict[str, list[str]] = {}
    for sentence in to_verify(source.design):
        name = next((n for n in names if sentence.startswith(f"{n}: ")), "")
        found.setdefault(name, []).append(sentence.removeprefix(f"{name}: "))
    rows = [(f"{name or 'general'} verified", name, " ".join(_ended(s) for s in said)) for name, said in found.items()]
    table = Table(
        "Verify before you order", (Column("", "tick"), Column("Part", "code"), Column("What to verify")), rows, True
    )
    do = "Open each maker's sheet and tick what you have verified, before you order boards or parts."
    return Section("verify", "Verify before you order", do, (table,))


def uncertain(source: Source) -> Section:
    """A later section: every figure that was neither read nor measured."""
    rows = [
        (STANDINGS[row.standing], row.figure, row.value, row.part, row.source)
        for row in assumption_rows(source.design.parts)
    ]
    columns = (
        Column("Standing", narrow=True), Column("Figure"), Column("Value"), Column("Part", "code"),
        Column("Why"),
    )  # fmt: skip
    do = "Replace what matters to you by a maker's figure or a measurement, in a folder of your own parts."
    return Section(
        "uncertain", "Figures that are not certain", do, (Table("Least certain first", columns, rows, stacked=True),)
    )


def _ended(sentence: str) -> str:
    return sentence if sentence.endswith((".", "!", "?")) else f"{sentence}."
