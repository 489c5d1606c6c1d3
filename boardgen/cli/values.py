"""boardgen values: sizes the board and says why."""

from __future__ import annotations

from pathlib import Path

from boardgen.cli import terminal
from boardgen.cli.options import Data, Override, Talk
from boardgen.cli.report import report
from boardgen.cli.sources import sources
from boardgen.documents import values as written
from boardgen.documents.json.values import Target, values_document
from boardgen.inputs.board import read_request
from boardgen.model.problem import shortfalls, warnings
from boardgen.sizing.size import size

HEADINGS = ("value", "needed", "chosen", "worst case", "margin", "part", "where")


def run(spec: Path, override: Override, data: Data, talk: Talk, *, predicted: bool = False) -> int:
    """Sizes, or predicts and refines, and prints; exit 1 where something falls short."""
    request = read_request(spec, sources(override, data))
    targets: tuple[Target, ...] | None = None
    judged: list[tuple[str, str]] = []
    if predicted:
        # numpy is loaded only where something is predicted: it doubles the time of this command
        from boardgen.design import make_design
        from boardgen.documents.json.response import targets_document
        from boardgen.documents.response import judged_lines

        design = make_design(request, predicted=True)
        request, choices, found = design.request, design.choices, design.found.sizing
        targets, judged = targets_document(design.prediction), judged_lines(design.prediction)
    else:
        choices = size(request)
        found = choices.problems

    def words() -> None:
        _print(request.spec.title, written.rows(choices, request.strips))
        if predicted:
            terminal.print_lines(["", "targets"])
            terminal.print_pairs(judged)
        terminal.print_problems("\nfalls short:", shortfalls(found))
        terminal.print_problems("\nto know:", warnings(found))

    return report(talk, found, lambda: values_document(request.spec, choices, found, targets), words)


def _print(title: str, rows: list[written.Row]) -> None:
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
