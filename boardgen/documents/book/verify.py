"""Second section: what to verify before money is spent."""

from __future__ import annotations

from collections.abc import Sequence

from boardgen.catalogue.to_verify import ToVerify, to_verify, uncertain_figures
from boardgen.documents.book.source import STANDINGS, Source
from boardgen.documents.page.blocks import Column, Section, Table


def section(source: Source) -> Section:
    """A box for each part with something to verify: what can ruin the board first, each in the order of the bill."""
    checks = to_verify(source.design.parts, source.design.catalogue)
    tables = (
        _table("What can ruin the board", "verified", [check for check in checks if check.ruins_the_board]),
        _table("The rest", "looked up", [check for check in checks if not check.ruins_the_board]),
    )
    do = "Open each maker's sheet and tick what you have verified, before you order boards or parts."
    return Section("verify", "Verify before you order", do, tables)


def _table(title: str, done: str, checks: Sequence[ToVerify]) -> Table:
    found: dict[str, list[str]] = {}
    for check in checks:
        found.setdefault(check.part.name, []).append(check.sentence)
    rows = [(f"{name} {done}", name, " ".join(_ended(s) for s in said)) for name, said in found.items()]
    return Table(title, (Column("", "tick"), Column("Part", "code"), Column("What to verify")), rows, True)


def uncertain(source: Source) -> Section:
    """A later section: every figure that was neither read nor measured."""
    rows = [
        (STANDINGS[row.standing], row.figure, row.value, row.part, row.source)
        for row in uncertain_figures(source.design.parts)
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
