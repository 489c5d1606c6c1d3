"""What the exit code means."""

from __future__ import annotations

from enum import IntEnum


class ExitCode(IntEnum):
    """Exit codes of every command."""

    DONE = 0
    """Done, and everything that is judged is met."""
    FALLS_SHORT = 1
    """Done, but something falls short: listed under shortfalls."""
    BAD_INPUT = 2
    """Wrong use or bad input: nothing was written."""
    OUR_FAULT = 3
    """A fault of the program: please report it."""
    INTERRUPTED = 130
    """Stopped by the user, as shells count it."""
