"""What relays and fed ports get in a state, and what each does then."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Final, Literal

import numpy as np
from msgspec import Struct

from boardgen.direct_current.solution import Solution
from boardgen.sizing.rules import FEED_SHARE
from boardgen.station.board_network import MeterPoint
from boardgen.station.corners import Corner
from boardgen.station.network import Case, State, Station, selected
from boardgen.station.table import fed

if TYPE_CHECKING:
    from boardgen.direct_current.arrays import Bools, Floats, Ints, Places

OFF_SHARE: Final = 0.1
"""Most voltage at a port whose feed is off, over that wanted when on: below what releases common relays (assumed)."""

Verdict = Literal["operates", "fails to operate", "stays released", "may not release", "operates unwanted"]


class PointReading(Struct, frozen=True):
    """Volts at a relay's coil or a fed port, `at`, in a case at a corner.

    `needed_v` is must-operate, or the least wanted at a port; `most_v` is must-release, or the most while off.
    """

    case: str
    corner: str
    at: MeterPoint
    volts: float
    wanted: bool
    needed_v: float
    most_v: float

    @property
    def verdict(self) -> Verdict:
        """What the relay does."""
        if self.wanted:
            return "operates" if self.volts >= self.needed_v else "fails to operate"
        if self.volts <= self.most_v:
            return "stays released"
        return "may not release" if self.volts < self.needed_v else "operates unwanted"

    @property
    def is_right(self) -> bool:
        """Whether it does what is wanted."""
        return self.verdict in ("operates", "stays released")

    @property
    def margin_v(self) -> float:
        """Volts to spare; below 0 where it is not right."""
        return self.volts - self.needed_v if self.wanted else self.most_v - self.volts

    @property
    def rank_v(self) -> float:
        """The same to the nanovolt, to find the worst by: rounding alone may not choose among equals."""
        return round(self.margin_v, 9)


class _Point(Struct, frozen=True):
    """A place to read: its ends, what is wanted there, and whether the sign of the volts counts."""

    at: MeterPoint
    ends: tuple[str, str]
    wanted: bool
    needed_v: float
    most_v: float
    signed: bool


class Meter:
    """Reads every relay and fed port of a case at a corner off any solution of its network, changed or not.

    Those of idle boxes that may be on or off, since they share their lines, are not read.
    """

    def __init__(self, station: Station, sound: State, case: Case, corner: Corner, places: Places) -> None:
        along = _along(station, case)
        self._case, self._corner, self._places = case.name, corner.name, places
        self._points = tuple(p for p in _points(station, sound, case) if p.at not in along)
        self._ends = self._ends_in(places)
        self._signed = np.array([p.signed for p in self._points], dtype=bool)
        self._wanted = np.array([p.wanted for p in self._points], dtype=bool)
        self._needed_v = np.array([p.needed_v for p in self._points], dtype=float)
        self._most_v = np.array([p.most_v for p in self._points], dtype=float)

    def every(self, solution: Solution) -> tuple[PointReading, ...]:
        """Every relay, then every fed port."""
        return tuple(self._reading(n, v) for n, v in enumerate(self._volts(solution).tolist()))

    def wrong(self, solution: Solution) -> tuple[PointReading, ...]:
        """Those alone that do not do what is wanted."""
        volts = self._volts(solution)
        amiss: Bools = np.where(self._wanted, volts < self._needed_v, volts > self._most_v)
        return tuple(self._reading(n, float(volts[n])) for n in np.flatnonzero(amiss).tolist())

    def _volts(self, solution: Solution) -> Floats:
        """Volts across each coil or load, whose ends it joins itself."""
        a, b = self._ends if solution.places is self._places else self._ends_in(solution.places)
        volts: Floats = solution.unknown[a] - solution.unknown[b]
        return np.where(self._signed, volts, np.abs(volts))

    def _ends_in(self, places: Places) -> tuple[Ints, Ints]:
        pairs = np.array([[places.of[end] for end in p.ends] for p in self._points], dtype=np.intp).reshape(-1, 2)
        return pairs[:, 0], pairs[:, 1]

    def _reading(self, number: int, volts: float) -> PointReading:
        p = self._points[number]
        return PointReading(self._case, self._corner, p.at, volts, p.wanted, p.needed_v, p.most_v)


def _points(station: Station, sound: State, case: Case) -> Iterator[_Point]:
    for coil in sound.coils:
        ends = coil.plus, coil.minus
        yield _Point(
            coil.meter_point, ends, coil.wanted, coil.must_operate_v, coil.must_release_v, signed=coil.polarised
        )
    on = set(fed(station, case.energised))
    for load, (centre, braid, nominal_v) in sound.ports.items():
        wanted = (load.box, load.strip) in on
        at = MeterPoint(load.box, load.strip)
        yield _Point(at, (centre, braid), wanted, FEED_SHARE * nominal_v, OFF_SHARE * nominal_v, signed=False)


def _along(station: Station, case: Case) -> frozenset[MeterPoint]:
    """The relays and ports that are on because they share a line with a wanted load of another box."""
    if not case.along:
        return frozenset()
    found = {MeterPoint(*port) for port in set(fed(station, case.energised)) - set(fed(station, case.wanted))}
    for box, board in station.boards.items():
        extra = board.operated(selected(case.energised, box)) - board.operated(selected(case.wanted, box))
        component = board.netlist.component
        found |= {MeterPoint(box, component[ref].subject.strip, ref) for ref in extra if ref in component}
    return frozenset(found)
