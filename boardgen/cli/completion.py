"""boardgen completion: a script that completes commands and options."""

from __future__ import annotations

from cyclopts import App

from boardgen.cli import terminal
from boardgen.cli.exit_codes import ExitCode
from boardgen.model.problem import InputError, Place, Problem

SHELLS = ("bash", "zsh", "fish", "powershell")


def run(app: App, shell: str) -> int:
    """Prints the script; nothing is installed."""
    if shell not in SHELLS:
        place = Place("command line", key="shell")
        found, allowed = f'"{shell}" is not a shell known here', "bash, zsh, fish or powershell"
        raise InputError([Problem("U005 shell", "error", place, found, allowed)])
    terminal.print_lines(app.generate_completion(shell=shell).splitlines())  # type: ignore[arg-type]
    return ExitCode.DONE
