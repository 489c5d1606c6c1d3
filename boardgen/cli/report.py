"""How every command ends: what it prints, as words or as one JSON document, and its exit code."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from msgspec import Struct

from boardgen.cli import terminal
from boardgen.cli.exit_codes import ExitCode
from boardgen.cli.options import Talk
from boardgen.model.problem import Problem, shortfalls, warnings


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


def print_written(folder: str, names: Iterable[str]) -> None:
    """The last line says where the result lies."""
    terminal.print_lines(["", f"written to {folder}: {', '.join(names)}"])
