"""boardgen page: a specification as a form in the browser, its board beside it."""

from __future__ import annotations

import webbrowser
from contextlib import suppress
from pathlib import Path

from boardgen.cli import terminal
from boardgen.cli.exit_codes import ExitCode
from boardgen.cli.options import Data, Talk, wrong_use
from boardgen.model.problem import InputError, Place, Problem


def run(spec: Path | None, out: Path, port: int, data: Data, talk: Talk, *, open_browser: bool) -> int:
    """Serves until it is ended; exit 0."""
    try:
        from boardgen.page.desk import Beside
        from boardgen.page.room import Room
        from boardgen.page.server import listening, server
    except ModuleNotFoundError as error:
        if error.name is None or error.name.partition(".")[0] not in ("starlette", "uvicorn"):
            raise
        raise InputError([_missing(error.name)]) from None
    parts = str(data.parts) if data.parts else None
    room = Room(spec.parent if spec else Path(), Beside(parts, tuple(map(str, data.prices)), str(out)), spec)
    try:
        bound = listening(port)
    except (OSError, OverflowError) as error:
        found = f"port {port} cannot be had: {error}"
        raise wrong_use(found, "Leave --port out for a free one.") from None

    def ready(address: str) -> None:
        if not talk.quiet:
            terminal.print_lines([f"the page is at {address}", "Ctrl-C ends it; what was saved stays"])
        if open_browser:
            webbrowser.open(address)

    with bound, suppress(KeyboardInterrupt):
        server(room, bound, ready).run(sockets=[bound])
    return ExitCode.DONE


def _missing(library: str) -> Problem:
    return Problem(
        "U011 missing library",
        "error",
        Place("command line", key="page"),
        f"the page needs {library}, which is not installed",
        "",
        'Install it in the folder of boardgen with: pip install ".[page]"',
    )
