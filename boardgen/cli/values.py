"""boardgen values: sizes the board and says why."""

from __future__ import annotations

from pathlib import Path

from boardgen.cli import terminal
from boardgen.cli.exit_codes import ExitCode
from boardgen.cli.inputs import read_sized
from boardgen.cli.options import Data, Override, Talk
from boardgen.documents import problems
from boardgen.documents import values as report

HEADINGS = ("value", "needed", "chosen", "worst case", "margin", "part", "where")


def run(spec: Path, override: Override, data: Data, talk: Talk) -> int:
    """Sizes and prints; exit 1 where something falls short."""
    design = read_sized(spec, override, data)
    found = design.sizing_problems
    if talk.json:
        terminal.print_json(report.document(design.spec, design.choices, found))
    elif not talk.quiet:
        _print(design.spec.title, report.rows(design.choices, design.request.strips))
        terminal.print_problems("\nfalls short:", problems.shortfalls(found))
        terminal.print_problems("\nto know:", problems.warnings(found))
    return ExitCode.FALLS_SHORT if problems.shortfalls(found) else ExitCode.DONE


def _print(title: str, rows: list[report.Row]) -> None:
    """The numbers as one table, then the reason of each."""
    terminal.print_lines([title, ""])
    terminal.print_table(
        HEADINGS,
        [(r.role, r.needed, r.chosen, r.achieved, r.margin, r.part, r.subject) for r in rows],
        right=(1, 2, 3, 4),
    )
    terminal.print_lines(["", "why"])
    for row in rows:
        terminal.print_lines([f"{row.role} ({row.subject})", *(f"    {line}" for line in row.story)])
