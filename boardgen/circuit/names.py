"""Net names of the whole board, and reference designators by IEEE 315 class letters."""

from __future__ import annotations

from collections import Counter

from boardgen.kinds import kind_of
from boardgen.model.part import Part
from boardgen.model.wiring import SHARED


class Designators:
    """Hands out the next designator of each class."""

    def __init__(self) -> None:
        self._last: Counter[str] = Counter()

    def next(self, part: Part) -> str:
        """The next free designator for a part of a kind that stands on boards."""
        letters = kind_of(part).letter
        self._last[letters] += 1
        return f"{letters}{self._last[letters]}"


class NetNames:
    """Gives each local net of each strip its name on the board, never one name to two nets."""

    def __init__(self) -> None:
        self._owner: dict[str, tuple[str, str]] = {name: ("", name) for name in SHARED}

    def claim(self, wanted: str, owner: tuple[str, str]) -> str:
        """The wanted name, or with a number behind it where another net has it already."""
        name, number = wanted, 2
        while self._owner.setdefault(name, owner) != owner:
            name, number = f"{wanted} {number}", number + 1
        return name
