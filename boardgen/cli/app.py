"""The command `boardgen`: its commands, its exit codes, and what is said when something is wrong."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from cyclopts import CycloptsError, UnusedCliTokensError

from boardgen import __version__
from boardgen.cli import terminal
from boardgen.cli.commands import app
from boardgen.cli.exit_codes import ExitCode
from boardgen.cli.options import wrong_use
from boardgen.cli.process import settle, stop_gently
from boardgen.documents.json.commands import Faults
from boardgen.documents.json.document import problems_of
from boardgen.model.problem import InputError


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code; no traceback ever reaches the user."""
    settle()
    stop_gently()
    _open_streams()
    tokens = list(sys.argv[1:] if arguments is None else arguments)
    try:
        return _run(tokens)
    except KeyboardInterrupt:
        terminal.say("stopped")
        return ExitCode.INTERRUPTED
    except BrokenPipeError:
        _abandon_output()
        return ExitCode.DONE
    except OSError as error:
        # commands name the files they cannot use; what is left is the output, as on a full disk
        _abandon_output()
        terminal.say(f"{error.filename or 'standard output'}: {error.strerror}; the output is not complete")
        return ExitCode.BAD_INPUT
    except Exception as error:  # noqa: BLE001 - the last line of defence: what it catches is a fault of ours
        return _our_fault(error)


def _run(tokens: list[str]) -> int:
    try:
        code = int(app(tokens, exit_on_error=False, print_error=False, result_action="return_value") or 0)
    except InputError as error:
        code = _bad_input(error, "--json" in tokens)
    except CycloptsError as error:
        code = _bad_input(_wrong_use(error), "--json" in tokens)
    sys.stdout.flush()
    return code


def _open_streams() -> None:
    """Text in UTF-8 whatever the locale; a stream that the caller closed swallows what it is given."""
    sys.stdout = sys.stdout or Path(os.devnull).open("w")  # noqa: SIM115 - open as long as the program runs
    sys.stderr = sys.stderr or Path(os.devnull).open("w")  # noqa: SIM115
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")


def _abandon_output() -> None:
    """Lets standard output lead nowhere, so that what is still in its buffer fails no second time at the end."""
    with suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)


def _bad_input(error: InputError, as_json: bool) -> int:
    """Names every fault on standard error, and as a document where one was asked for."""
    if as_json:
        terminal.print_json(Faults(problems_of(error.problems)))
    terminal.faults(error.problems)
    return ExitCode.BAD_INPUT


def _wrong_use(error: CycloptsError) -> InputError:
    if isinstance(error, UnusedCliTokensError):
        found = f"nothing takes {' '.join(error.unused_tokens or ())}"
    else:
        found = str(error).replace(", ...", " and others").rstrip(".").replace("into int", "into a whole number")
    command = " ".join(("boardgen", *(error.command_chain or ())))
    return wrong_use(found, f"{command} --help says what can be given.")


def _our_fault(error: Exception) -> int:
    """Says where it broke, in one line that can be sent to us."""
    step = error.__traceback__
    while step is not None and step.tb_next is not None:
        step = step.tb_next
    code = step.tb_frame.f_code if step else None
    where = f"{code.co_name}, line {step.tb_lineno}" if code and step else "unknown place"
    terminal.say(
        f"a fault of boardgen {__version__}: {type(error).__name__}: {error} (in {where}). "
        "Please report this line with your specification."
    )
    return ExitCode.OUR_FAULT
