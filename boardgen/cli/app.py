"""The command `boardgen`: its commands, its exit codes, and what is said when something is wrong."""

from __future__ import annotations

import sys
from collections.abc import Sequence

from cyclopts import App, CycloptsError

from boardgen import __version__
from boardgen.cli import terminal
from boardgen.cli.build import build
from boardgen.cli.compare import compare
from boardgen.cli.exit_codes import ExitCode
from boardgen.cli.prove import prove
from boardgen.cli.start import start
from boardgen.cli.values import values
from boardgen.documents.problems import as_json
from boardgen.model.problem import InputError, Place, Problem

HELP = """Designs relay switch boards for low-band receive antennas from one small specification.

Exit codes: 0 done and every target met; 1 done, but something falls short; 2 wrong use or bad input, nothing written;
3 a fault of the program."""

app = App(name="boardgen", help=HELP, version=__version__, help_format="plaintext")
app.command(start)
app.command(values)
app.command(build)
app.command(compare)
app.command(prove)


@app.command
def completion(shell: str) -> int:
    """Print a completion script for bash, zsh or fish, to be sourced by the shell.

    Parameters
    ----------
    shell: str
        bash, zsh or fish.

    """
    if shell not in ("bash", "zsh", "fish"):
        raise InputError([_no_shell(shell)])
    terminal.print_lines(app.generate_completion(shell=shell).splitlines())  # type: ignore[arg-type]
    return ExitCode.DONE


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code; no traceback ever reaches the user."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")
    tokens = list(sys.argv[1:] if arguments is None else arguments)
    try:
        code = app(tokens, exit_on_error=False, print_error=False, result_action="return_value")
        sys.stdout.flush()
        return int(code or 0)
    except InputError as error:
        if "--json" in tokens:
            terminal.print_json({"schema": terminal.SCHEMA_FAULTS, "faults": as_json(error.problems)})
        terminal.faults(error.problems)
        return ExitCode.BAD_INPUT
    except CycloptsError as error:
        sys.stderr.write(f"{error}\nboardgen --help lists the commands and their options\n")
        return ExitCode.BAD_INPUT
    except BrokenPipeError:
        sys.stderr.close()
        return ExitCode.DONE
    except Exception as error:  # noqa: BLE001 - the last line of defence: what it catches is a fault of ours
        return _our_fault(error)


def _our_fault(error: Exception) -> int:
    """Says where it broke, in one line that can be sent to us."""
    step = error.__traceback__
    while step is not None and step.tb_next is not None:
        step = step.tb_next
    code = step.tb_frame.f_code if step else None
    where = f"{code.co_name}, line {step.tb_lineno}" if code and step else "unknown place"
    sys.stderr.write(
        f"a fault of boardgen {__version__}: {type(error).__name__}: {error} (in {where}). "
        "Please report this line with your specification.\n"
    )
    return ExitCode.OUR_FAULT


def _no_shell(shell: str) -> Problem:
    return Problem(
        "U005 shell", "error", Place("command line"), f'"{shell}" is not a shell known here', "bash, zsh or fish"
    )


if __name__ == "__main__":
    raise SystemExit(main())
