"""boardgen response: predicts the board from its own netlist."""

from __future__ import annotations

from pathlib import Path

from boardgen.cli import terminal
from boardgen.cli.exit_codes import ExitCode
from boardgen.cli.inputs import read_sized
from boardgen.cli.options import Data, Override, Talk, wrong_use
from boardgen.documents import problems, response_document
from boardgen.documents import response as report

MOST_BOARDS = 100_000


def run(spec: Path, boards: int, override: Override, data: Data, talk: Talk) -> int:
    """Predicts and prints; exit 1 where a target or a rule falls short."""
    if not 0 <= boards <= MOST_BOARDS:
        raise wrong_use("so many boards cannot be drawn", f"Allowed is 0 to {MOST_BOARDS}.")
    with terminal.progress("reading", talk.quiet):
        design = read_sized(spec, override, data, predicted=True)
    with terminal.progress("predicting", talk.quiet):
        prediction = design.prediction
        found = design.sizing_problems
    drawn = []
    if boards:
        with terminal.progress(f"drawing {boards} boards", talk.quiet):
            drawn = [prediction.drawn(boards, strays=strays) for strays in (False, True)]
    if talk.json:
        terminal.print_json(response_document.document(prediction, found, drawn))
    elif not talk.quiet:
        heading, *rows = report.edge_rows(prediction)
        terminal.print_lines([design.spec.title, ""])
        terminal.print_table(heading, rows, right=range(1, len(heading) - 2))
        terminal.print_lines(["", "targets"])
        terminal.print_pairs([*report.judged_lines(prediction), *report.feed_lines(prediction)])
        if rows := report.system_rows(prediction):
            terminal.print_lines(["", "main coax and noise floor"])
            headings = ("frequency", "board", "coax", "noise over kTB", "floor rises")
            terminal.print_table(headings, rows, right=range(5))
            terminal.print_lines(report.system_lines(prediction))
        for one, words in zip(drawn, ("part tolerances alone", "assumed strays drawn too"), strict=False):
            terminal.print_lines(["", f"{one.boards} boards, {words}: {one.together:.1%} meet every target"])
            terminal.print_table(("worst figure", "yield", "5 %", "middle", "95 %"), report.tolerance_rows(one))
        terminal.print_lines(["", "assumed until measured, SI units"])
        terminal.print_table(("figure", "of", "value", "range", "because"), report.assumed_rows(prediction), right=(2,))
        terminal.print_lines(["", *report.NOTES])
        terminal.print_problems("\nto know:", problems.warnings(found))
        terminal.print_problems("\nfalls short:", problems.shortfalls(found))
    return ExitCode.FALLS_SHORT if problems.shortfalls(found) else ExitCode.DONE
