"""Net names of the whole board, and reference designators by IEEE 315 class letters."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from itertools import count

from msgspec.structs import replace

from boardgen.kinds import kind_of
from boardgen.model.netlist import CONDUCTORS, NetName
from boardgen.model.part import Part
from boardgen.model.wiring import BUS, SHARED


class Designators:
    """Hands out the next designator of each class."""

    def __init__(self) -> None:
        self._last: Counter[str] = Counter()

    def next(self, part: Part) -> str:
        """The next free designator for a part of a kind that stands on boards."""
        letters = kind_of(part).letter
        self._last[letters] += 1
        return f"{letters}{self._last[letters]}"


_OF_BUS: Mapping[str, NetName] = {
    name: NetName(after="bus", conductor=conductor) for name, conductor in zip(BUS, CONDUCTORS, strict=True)
}


class NetNames:
    """Gives each local net of each strip its name on the board, never one name to two nets.

    `called` has the parts of each name.
    """

    def __init__(self) -> None:
        self.called: dict[str, NetName] = {}
        self._owner: dict[str, tuple[NetName, str]] = {}
        for name in SHARED:
            self.claim("", NetName(after=name) if name not in BUS else _OF_BUS[name])

    def claim(self, strip: str, wanted: NetName, stage: str = "") -> str:
        """The name of a net that a stage calls so, with a number behind it where another net has it already.

        `strip` is the strip's name in plain letters. Nets of one name are one net in one stage.
        """
        for number in count(1):
            called = replace(wanted, number=number)
            name = called.spelled(strip)
            if self._owner.setdefault(name, (called, stage)) == (called, stage):
                self.called[name] = called
                return name
        raise AssertionError("numbers do not end")
