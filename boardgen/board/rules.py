"""Widths and clearances that a board is drawn with: from sizing, held against what a board house can make."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from boardgen.board.job import Kind
from boardgen.board.maze import Class
from boardgen.model.choice import Choice

CLEAR_MM = 0.28
"""Clearance that tracks keep on the grid; above the rule, since a slanting track may come nearer between two places."""
SURGE_SLACK_MM = 0.05


@dataclass(frozen=True, slots=True)
class House:
    """What a board house can make, in millimetres."""

    name: str
    track: float
    clearance: float
    ring: float
    hole_least: float
    hole_most: float
    hole_to_hole: float
    hole_to_edge: float
    copper_to_edge: float
    mask_margin: float
    mask_web: float
    legend_width: float
    legend_height: float
    legend_to_pad: float
    longest: float
    standing: str
    source: str


@dataclass(frozen=True, slots=True)
class Rules:
    """How the copper of a board is drawn, in millimetres."""

    house: House
    signal: float
    control: float
    feed: float
    surge: float
    clearance: float
    surge_clearance: float

    @property
    def kinds(self) -> tuple[tuple[str, Kind], ...]:
        """Class and side of each kind of net. Lines run below, signals above."""
        return (
            ("signal", Kind(Class(self.signal / 2, CLEAR_MM), 0)),
            ("control", Kind(Class(self.control / 2, CLEAR_MM), 1)),
            ("feed", Kind(Class(self.feed / 2, CLEAR_MM), 1)),
            ("0V", Kind(Class(self.signal / 2, CLEAR_MM), 1)),
            ("earth", Kind(Class(self.signal / 2, max(self.surge_clearance + SURGE_SLACK_MM, CLEAR_MM)), 1)),
        )


@lru_cache(maxsize=64)
def read_houses(path: Path) -> tuple[House, ...]:
    """The board houses of a table, the first the one that is used."""
    tables = tomllib.loads(path.read_text(encoding="utf-8"))["board_house"]
    return tuple(House(**table) for table in tables)


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
