"""What to verify before money is spent, and which figures are not certain."""

from __future__ import annotations

from collections.abc import Iterable

from boardgen.catalogue.to_verify import ToVerify, to_verify, uncertain_figures
from boardgen.documents.book.source import STANDINGS, Source
from boardgen.documents.identity import named
from boardgen.documents.page.blocks import Block, Column, Section, Table, Terms, Words
from boardgen.documents.text import Value

MOST = 10
"""Parts on the first page whose pins, holes, size or absence can ruin the board."""
STANDING_WORDS = (
    ("predicted", "worked out for this board from its netlist; a model, not a measurement"),
    ("computed", "arithmetic from other figures, as weak as the weakest of them"),
    ("from a sheet", "read in a maker's sheet, a standard or another source named beside it"),
    ("recalled", "remembered, not read: verify it before it costs you money"),
    ("assumed", "a reasonable guess where nobody says: verify it, or measure it"),
    ("measured", "your own measurement, named in the specification"),
)


def ruinous(source: Source) -> tuple[Block, ...]:
    """The first things to verify, the worst first; how many of the kind are left for the appendix."""
    found = _by_part(check for check in _checks(source) if check.ruins_the_board)
    first = dict(list(found.items())[:MOST])
    more = len(found) - len(first)
    words = f"{more} more, and what only costs time or money, stand in the appendix." if more else ""
    table = _table("Verify first: each of these can ruin the board", "verified", first)
    return (table, Words(words)) if words else (table,)


def section(source: Source) -> Section:
    """The rest of what to verify."""
    checks = _checks(source)
    bad = dict(list(_by_part(check for check in checks if check.ruins_the_board).items())[MOST:])
    others = _by_part(check for check in checks if not check.ruins_the_board)
    tables = [_table("What can ruin the board, beyond the book's first page", "verified", bad)] if bad else []
    tables.append(_table("What costs time or money", "looked up", others))
    do = "Open each maker's sheet and tick what you have verified, before you order boards or parts."
    return Section("verify", "Verify before you order: the rest", do, tuple(tables))


def _checks(source: Source) -> tuple[ToVerify, ...]:
    return to_verify(source.design.parts, source.design.catalogue)


def _by_part(checks: Iterable[ToVerify]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for check in checks:
        found.setdefault(check.part.name, []).append(_ended(check.sentence))
    return found


def _table(title: str, done: str, found: dict[str, list[str]]) -> Table:
    rows = [(f"{name} {done}", name, " ".join(said)) for name, said in found.items()]
    return Table(title, (Column("", "tick"), Column("Part", "code"), Column("What to verify")), rows)


def uncertain(source: Source) -> Section:
    """Every figure that was neither read nor measured, and what the words for that mean."""
    rows = [
        (STANDINGS[row.standing], row.figure, Value(named(row.part, row.figure), row.value), row.part, row.source)
        for row in uncertain_figures(source.design.parts)
    ]
    columns = (
        Column("Standing", narrow=True), Column("Figure"), Column("Value"), Column("Part", "code"),
        Column("Why"),
    )  # fmt: skip
    do = "Replace what matters to you by a maker's figure or a measurement, in a folder of your own parts."
    return Section(
        "uncertain",
        "How far to trust a figure",
        do,
        (Terms(STANDING_WORDS), Table("Least certain first", columns, rows)),
    )


def _ended(sentence: str) -> str:
    return sentence if sentence.endswith((".", "!", "?")) else f"{sentence}."
