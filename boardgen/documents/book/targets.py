"""What each target rests on, and what limits it."""

from __future__ import annotations

from boardgen.documents.book.source import Source
from boardgen.documents.identity import named
from boardgen.documents.page.blocks import Column, Section, Table
from boardgen.documents.text import Text, Value
from boardgen.documents.verdicts import rests_on
from boardgen.rf.target_report import limiting


def section(source: Source) -> Section:
    """A row a target."""
    prediction = source.design.prediction
    limits = {one.judged.target: one for one in prediction.limits}
    rows: list[tuple[Text, ...]] = []
    for verdict in prediction.verdicts:
        limit = limits.get(verdict.judged.target)
        name = verdict.judged.target.replace("_", " ")
        why = limiting(limit, prediction.netlist) if limit and limit.influences else ""
        rests = Value(named("target", name, "rests on"), rests_on(prediction, verdict))
        rows.append((name, Value(named("target", name, "limited by"), why), rests))
    columns = [Column("Target", narrow=True), Column("What limits it most")]
    if any(verdict.rests_on for verdict in prediction.verdicts):
        columns.append(Column("What it rests on"))
    rows = [row[: len(columns)] for row in rows]
    do = "Look here before you change a value: what limits a target is the place to begin."
    return Section("targets", "What limits the targets", do, (Table("", tuple(columns), rows),))
