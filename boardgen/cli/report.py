"""How every command ends: what it prints, as words or as one JSON document, and its exit code."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from msgspec import Struct

from boardgen.cli import terminal
from boardgen.cli.exit_codes import ExitCode
from boardgen.cli.options import Talk
from boardgen.documents.response import TARGET_HEADINGS, target_notes, target_rows
from boardgen.model.problem import Problem, shortfalls, warnings
from boardgen.rf.prediction import Prediction


def report(talk: Talk, found: Sequence[Problem], document: Callable[[], Struct], words: Callable[[], None]) -> ExitCode:
    """Prints the document with --json, else the words unless --quiet; 1 where something of what was found falls short.

    Neither is made unless it is printed.
    """
    if talk.json:
        terminal.print_json(document())
    elif not talk.quiet:
        words()
    return ExitCode.FALLS_SHORT if shortfalls(found) else ExitCode.DONE


def print_found(found: Sequence[Problem]) -> None:
    """What is only to be known before what makes the exit code."""
    terminal.print_problems("\nto know:", warnings(found))
    terminal.print_problems("\nfalls short:", shortfalls(found))


def print_targets(prediction: Prediction) -> None:
    """The targets as a table of 80 columns, and beneath it where each is worst, what it rests on, what limits it."""
    terminal.print_table(TARGET_HEADINGS, target_rows(prediction))
    terminal.print_lines([""])
    terminal.print_wrapped(target_notes(prediction))


def print_written(folder: str, names: Sequence[str], first: str) -> None:
    """The last line says where the result lies and what to open."""
    terminal.print_lines(["", f"{len(names)} files written to {folder}; open {first} first"])
