"""Widths and clearances that a board is drawn with: from sizing, held against what a board house can make."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

from msgspec import Struct

from boardgen.board.job import Kind
from boardgen.board.maze import Class
from boardgen.model.choice import Choice
from boardgen.model.house import House

LEAST_MM, CLEAR_MM, SLANT_MM = 0.2, 0.22, 0.28
"""Clearance of the rule, that of places on the grid, and where a slanting track may come nearer between two places."""
MOST_CLEAR_MM = 0.25
"""The widest clearance of a house that is drawn."""
SURGE_SLACK_MM = 0.05


class Rules(Struct, frozen=True, dict=True):
    """How the copper of a board is drawn, in millimetres."""

    house: House
    signal: float
    control: float
    feed: float
    surge: float
    clearance: float
    surge_clearance: float

    @cached_property
    def kinds(self) -> tuple[tuple[str, Kind], ...]:
        """Class and side of each kind of net. Lines run below, signals above."""
        clear = self.clear
        return (
            ("signal", Kind(Class(self.signal / 2, clear), 0)),
            ("control", Kind(Class(self.control / 2, clear), 1)),
            ("feed", Kind(Class(self.feed / 2, clear), 1)),
            ("0V", Kind(Class(self.signal / 2, clear), 1)),
            ("earth", Kind(Class(self.signal / 2, max(self.surge_clearance + SURGE_SLACK_MM, clear)), 1)),
        )

    @property
    def clear(self) -> float:
        """The clearance that places on the grid keep; where a wider one is asked for, from slanting tracks as well."""
        return CLEAR_MM if self.clearance <= LEAST_MM else self.clearance + SLANT_MM - LEAST_MM


def rules(values: Iterable[Choice], house: House) -> Rules:
    """The rules of a board from its sized values."""
    sized = {(c.role, c.subject.slot): c.chosen * 1e3 for c in values if c.subject.stage == "copper"}
    control = max(sized["track width", "control"], house.track)
    return Rules(
        house=house,
        signal=max(sized["track width", "signal"], house.track),
        control=control,
        feed=max(sized.get(("track width", "feed"), 0.0), control),
        surge=round(sized.get(("track width", "surge"), 0.0), 3),
        clearance=max(sized["clearance", "control"], house.clearance),
        surge_clearance=round(sized.get(("clearance", "surge"), 0.0), 3),
    )
