"""What a board is drawn with: the grid, widths and clearances, from sizing and held against what a house can make.

All lengths are whole nanometres.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

from msgspec import Struct

from boardgen.model.board_house import BoardHouse
from boardgen.model.choice import Choice

# the grid and what is drawn on it

GRID_NM = 635_000
"""Step of the routing grid: a quarter of 2.54 mm, on multiples of which most pins stand."""
VIA_PAD_NM, VIA_HOLE_NM = 1_000_000, 500_000
"""A via's pad and hole: a ring of 0.25 mm, that every house makes."""
GUARD_NM = 1_000_000
"""Width of the guard trace, the 0V track at either edge of a strip."""
BUS_TRACK_NM = 1_500_000
"""Width of the tracks that run across all strips at the bus."""

# clearances: those of the house, and how much more the grid takes

LEAST_CLEARANCE_NM = 200_000
"""The clearance of the rule: boards are drawn with it unless a house asks for more."""
GRID_CLEARANCE_NM = 220_000
"""What places on the grid keep: 20 um more than the rule, since ends of tracks are rounded to nanometres."""
DIAGONAL_CLEARANCE_NM = 280_000
"""What places keep where a diagonal track may come nearer between two of them than at either."""
MOST_CLEARANCE_NM = 250_000
"""The widest clearance of a house that is drawn: with more, pins of the catalogue's parts find no tracks."""
SURGE_SLACK_NM = 50_000
"""So much more than its clearance earth keeps from other copper: rounded pour and diagonal tracks."""


class TrackClass(Struct, frozen=True):
    """How a track is drawn: its width, and its clearance to other nets."""

    width_nm: int
    clearance_nm: int

    @property
    def half_nm(self) -> float:
        """How far its copper reaches from its middle."""
        return self.width_nm / 2


class ViaClass(Struct, frozen=True):
    """How a via is drawn: the width of its pad, and its clearance to other nets."""

    width_nm: int
    clearance_nm: int

    @property
    def half_nm(self) -> float:
        """How far its copper reaches from its middle."""
        return self.width_nm / 2


class NetClass(Struct, frozen=True):
    """How the nets of a class are drawn: their tracks, and the side they keep to (0 top, 1 bottom)."""

    track: TrackClass
    side: int


VIA = ViaClass(VIA_PAD_NM, DIAGONAL_CLEARANCE_NM)
"""The class of every via, unless its net asks for more clearance."""


class Rules(Struct, frozen=True, dict=True):
    """How the copper of a board is drawn: widths of tracks by class of net, and clearances.

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
    def net_classes(self) -> tuple[tuple[str, NetClass], ...]:
        """Each class of nets by its name. Lines run below, signals above."""
        clear = self.grid_clearance_nm
        surge = max(self.surge_clearance_nm + SURGE_SLACK_NM, clear)
        return (
            ("signal", NetClass(TrackClass(self.signal_nm, clear), 0)),
            ("control", NetClass(TrackClass(self.control_nm, clear), 1)),
            ("feed", NetClass(TrackClass(self.feed_nm, clear), 1)),
            ("0V", NetClass(TrackClass(self.signal_nm, clear), 1)),
            ("earth", NetClass(TrackClass(self.signal_nm, surge), 1)),
        )

    @property
    def grid_clearance_nm(self) -> int:
        """What places on the grid keep; where a house asks for more than the rule, from diagonal tracks as well."""
        if self.clearance_nm <= LEAST_CLEARANCE_NM:
            return GRID_CLEARANCE_NM
        return self.clearance_nm + DIAGONAL_CLEARANCE_NM - LEAST_CLEARANCE_NM


def rules(values: Iterable[Choice], house: BoardHouse) -> Rules:
    """The rules of a board from its sized values, whose widths and clearances are in metres."""
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
