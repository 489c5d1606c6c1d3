"""Widths and clearances that a board is drawn with: from sizing, held against what a board house can make."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

from msgspec import Struct

from boardgen.board.cell_task import Kind
from boardgen.board.routing_grid import Class
from boardgen.model.board_house import BoardHouse
from boardgen.model.choice import Choice

GRID_NM = 635_000
"""Step of the routing grid: a quarter of 2.54 mm, on which pins of parts stand."""
LEAST_NM = 200_000
"""Clearance of the rule."""
CLEAR_NM = 220_000
"""Clearance that places on the grid keep: 20 um more than the rule's, for what is rounded to nanometres."""
SLANT_NM = 280_000
"""Clearance kept where a slanting track may come nearer between two places than at them."""
MOST_CLEAR_NM = 250_000
"""The widest clearance of a house that is drawn."""
SURGE_SLACK_NM = 50_000
"""So much more than its clearance earth keeps from other copper."""


class Rules(Struct, frozen=True, dict=True):
    """How the copper of a board is drawn: widths of tracks by class of net, and clearances, in nanometres.

    `surge_nm` is the width of copper that a surge takes, `surge_clearance_nm` its clearance; 0 without one.
    """

    house: BoardHouse
    signal_nm: int
    control_nm: int
    feed_nm: int
    surge_nm: int
    clearance_nm: int
    surge_clearance_nm: int

    @cached_property
    def kinds(self) -> tuple[tuple[str, Kind], ...]:
        """Class and side of each kind of net. Lines run below, signals above."""
        clear = self.clear_nm
        surge = max(self.surge_clearance_nm + SURGE_SLACK_NM, clear)
        return (
            ("signal", Kind(_class(self.signal_nm, clear), 0)),
            ("control", Kind(_class(self.control_nm, clear), 1)),
            ("feed", Kind(_class(self.feed_nm, clear), 1)),
            ("0V", Kind(_class(self.signal_nm, clear), 1)),
            ("earth", Kind(_class(self.signal_nm, surge), 1)),
        )

    @property
    def clear_nm(self) -> int:
        """The clearance that places on the grid keep; where a wider one is asked for, from slanting tracks as well."""
        return CLEAR_NM if self.clearance_nm <= LEAST_NM else self.clearance_nm + SLANT_NM - LEAST_NM


def _class(width_nm: int, clear_nm: int) -> Class:
    return Class(width_nm / 2e6, clear_nm / 1e6)


def rules(values: Iterable[Choice], house: BoardHouse) -> Rules:
    """The rules of a board from its sized values."""
    sized = {(c.role, c.subject.slot): round(c.chosen * 1e9) for c in values if c.subject.stage == "copper"}
    control = max(sized["track width", "control"], house.track_nm)
    return Rules(
        house=house,
        signal_nm=max(sized["track width", "signal"], house.track_nm),
        control_nm=control,
        feed_nm=max(sized.get(("track width", "feed"), 0), control),
        surge_nm=_whole_um(sized.get(("track width", "surge"), 0)),
        clearance_nm=max(sized["clearance", "control"], house.clearance_nm),
        surge_clearance_nm=_whole_um(sized.get(("clearance", "surge"), 0)),
    )


def _whole_um(length_nm: int) -> int:
    return round(length_nm / 1000) * 1000
