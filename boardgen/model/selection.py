"""The state of a board: which of its relays are operated, by which control lines, and what people call it."""

from __future__ import annotations

from typing import Final

from msgspec import Struct

SelectionState = frozenset[str]
"""Designators of the relays that are operated; every other relay is at rest."""

AT_REST: Final[SelectionState] = frozenset()


class ControlLine(Struct, frozen=True):
    """A line that works relays: its net at the control entry, the strip that they are in, and their designators.

    The line of an antenna's choice has `stage` "": of all these at most one is live. Any other line is that of one
    stage's own relays, and is live or not whichever antenna is selected.
    """

    net: str
    strip: str
    stage: str = ""
    relays: tuple[str, ...] = ()

    @property
    def selects(self) -> bool:
        """Whether the line is live because its antenna is selected."""
        return not self.stage


class Selection(Struct, frozen=True):
    """One way to work a board: the antenna that is selected, None for none, and other lines that are live as well."""

    antenna: str | None
    live: tuple[str, ...]
    operated: SelectionState

    def __str__(self) -> str:
        chosen = f'"{self.antenna}" selected' if self.antenna else "nothing selected"
        return " and ".join((chosen, *(f'"{net}" live' for net in self.live)))
