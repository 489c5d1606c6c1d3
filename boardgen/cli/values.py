"""boardgen values: sizes the board and says why."""

from __future__ import annotations

from pathlib import Path

from boardgen.cli import terminal
from boardgen.cli.decided import decided
from boardgen.cli.options import Data, Override, Talk
from boardgen.cli.report import print_targets, report
from boardgen.cli.sources import sources
from boardgen.documents import values as written
from boardgen.documents.json.response import targets_document
from boardgen.documents.json.values import values_document
from boardgen.documents.response import judged_with
from boardgen.inputs.board import read_request
from boardgen.model.problem import shortfalls, warnings

HEADINGS = ("value", "needed", "chosen", "achieved", "margin", "part", "where")


def run(path: Path, override: Override, data: Data, talk: Talk) -> int:
    """Sizes, refines and prints; exit 1 where something falls short."""
    request = read_request(path, sources(override, data))
    with terminal.progress("sizing", talk.quiet) as tell:
        board = decided(request, tell)
    prediction, choices, found = board.prediction, board.choices, board.problems
    spec, strips = prediction.request.spec, prediction.request.strips

    def words() -> None:
        _print(spec.title, written.rows(choices, strips))
        terminal.print_lines(["", judged_with(prediction)])
        print_targets(prediction)
        terminal.print_problems("\nfalls short:", shortfalls(found))
        terminal.print_problems("\nto know:", warnings(found))

    return report(talk, found, lambda: values_document(spec, choices, found, targets_document(prediction)), words)


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
