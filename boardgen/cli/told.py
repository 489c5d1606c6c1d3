"""The end of what a command prints: what to know, what falls short, where the result lies."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from boardgen.cli import terminal
from boardgen.cli.exit_codes import ExitCode
from boardgen.documents import problems
from boardgen.model.problem import Problem


def print_found(found: Sequence[Problem]) -> None:
    """What is only to be known before what makes the exit code."""
    terminal.print_problems("\nto know:", problems.warnings(found))
    terminal.print_problems("\nfalls short:", problems.shortfalls(found))


def print_written(folder: str, names: Iterable[str]) -> None:
    """The last line says where the result lies."""
    terminal.print_lines(["", f"written to {folder}: {', '.join(names)}"])


def exit_code(found: Sequence[Problem]) -> ExitCode:
    """1 where something falls short."""
    return ExitCode.FALLS_SHORT if problems.shortfalls(found) else ExitCode.DONE
