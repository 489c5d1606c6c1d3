"""How far a long step is, as those who work it out tell it."""

from __future__ import annotations

from typing import Protocol


class Tell(Protocol):
    """Is told in words how far a step is, and which share of it is done, 0 where that is not known."""

    def __call__(self, words: str, share: float = 0.0, /) -> object:
        """Called as often as there is something new; it costs next to nothing."""


def tell_nobody(_: str, __: float = 0.0, /) -> None:
    """Where nobody looks."""
