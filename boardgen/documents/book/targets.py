"""What each target rests on, and what limits it."""

from __future__ import annotations

from boardgen.documents.book.source import Source
from boardgen.documents.page.blocks import Column, Section, Table
from boardgen.documents.verdicts import rests_on
from boardgen.rf.target_report import limiting


def section(source: Source) -> Section:
    """A row a target."""
    prediction = source.design.prediction
    limits = {one.judged.target: one for one in prediction.limits}
    rows = []
    for verdict in prediction.verdicts:
        limit = limits.get(verdict.judged.target)
        why = limiting(limit, prediction.netlist) if limit and limit.influences else ""
        rows.append((verdict.judged.target.replace("_", " "), rests_on(prediction, verdict), why))
    columns = (Column("Target", narrow=True), Column("What it rests on"), Column("What limits it most"))
    do = "Look here before you change a value: what limits a target is the place to begin."
    return Section("targets", "What limits the targets", do, (Table("", columns, rows),))
