"""Every state at every corner: volts at every relay and every fed port, and what each single fault would do."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Final, Literal

from msgspec import Struct

from boardgen.direct_current.changes import solve_changes
from boardgen.direct_current.solution import Solution
from boardgen.sizing.rules import FEED_SHARE
from boardgen.station.board_network import MeterPoint
from boardgen.station.consistency import SELECTOR
from boardgen.station.corners import Corner
from boardgen.station.faults import Befell, single_faults
from boardgen.station.network import Case, State, Station, selected
from boardgen.station.states import cases, settled
from boardgen.station.table import fed
from boardgen.station.wanted import Load

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


class FaultEffect(Struct, frozen=True):
    """What one fault does: the readings that are then not right, the worst of each relay, kind of wrong and case."""

    kind: str
    befell: Befell
    wrong: tuple[PointReading, ...]
    most_a: float

    @property
    def name(self) -> str:
        """Kind, and what it befell."""
        return f"{self.kind}: {self.befell}"


class Proof(Struct, frozen=True):
    """The readings without a fault, what each fault does, and the most amperes the source gives without one.

    `unsettled` names what could not be solved; it is empty but for a fault of the program.
    """

    readings: tuple[PointReading, ...]
    faults: tuple[FaultEffect, ...]
    most_a: float
    unsettled: tuple[str, ...]

    @property
    def wrong(self) -> tuple[PointReading, ...]:
        """The readings without a fault that are not right."""
        return tuple(r for r in self.readings if not r.is_right)

    def worst(self, at: MeterPoint, *, wanted: bool) -> PointReading | None:
        """The reading there with the least to spare, while wanted or while not; the first of equals."""
        found = [r for r in self.readings if r.at == at and r.wanted == wanted]
        return min(found, key=lambda r: r.rank_v, default=None)


def prove(station: Station, corners: Sequence[Corner], progress: Callable[[str], None] = lambda _: None) -> Proof:
    """All cases at all corners, sound and with every single fault."""
    readings: list[PointReading] = []
    wrong: dict[tuple[str, Befell], dict[tuple[str, MeterPoint, str], PointReading]] = {}
    amperes: dict[tuple[str, Befell], float] = {}
    unsettled: list[str] = []
    most_a = 0.0
    for case in cases(station):
        progress(case.name)
        for corner in corners:
            sound, without_fault = settled(station, case, corner)
            faults = single_faults(station, sound)
            solutions = without_fault, *solve_changes(without_fault, [f.change for f in faults])
            for fault, solution in zip((None, *faults), solutions, strict=True):
                found = tuple(read(station, sound, solution, case, corner))
                if not solution.converged:
                    unsettled.append(f"{case.name}, {corner.name}, {fault.name if fault else 'sound'}")
                if fault is None:
                    readings += found
                    most_a = max(most_a, source_a(solution))
                else:
                    key = (fault.kind, fault.befell)
                    amperes[key] = max(amperes.get(key, 0.0), source_a(solution))
                    _gather(wrong.setdefault(key, {}), found)
    made = tuple(FaultEffect(*key, tuple(rows.values()), amperes[key]) for key, rows in wrong.items())
    return Proof(tuple(readings), made, most_a, tuple(unsettled))


def sound_readings(station: Station, corners: Sequence[Corner]) -> tuple[PointReading, ...]:
    """The same without faults."""
    found: list[PointReading] = []
    for case in cases(station):
        for corner in corners:
            sound, solution = settled(station, case, corner)
            found += read(station, sound, solution, case, corner)
    return tuple(found)


def steady_a(station: Station, corners: Sequence[Corner]) -> float:
    """Most amperes that the source gives without a fault."""
    sound = (settled(station, case, corner) for case in cases(station) for corner in corners)
    return max(source_a(solution) for _, solution in sound)


def source_a(solution: Solution) -> float:
    """Amperes out of the source."""
    return -solution.current("supply")


def _gather(worst: dict[tuple[str, MeterPoint, str], PointReading], found: Sequence[PointReading]) -> None:
    for reading in found:
        if not reading.is_right:
            key = (reading.case, reading.at, reading.verdict)
            if key not in worst or reading.rank_v < worst[key].rank_v:
                worst[key] = reading


def read(station: Station, sound: State, solution: Solution, case: Case, corner: Corner) -> Iterator[PointReading]:
    """Every relay, then every fed port, but those of idle boxes that may be on or off since they share their lines."""
    along = _along(station, case)
    for coil in sound.coils:
        if coil.meter_point in along:
            continue
        volts = _volts(solution, coil.plus, coil.minus)
        yield PointReading(
            case.name,
            corner.name,
            coil.meter_point,
            volts if coil.polarised else abs(volts),
            coil.wanted,
            coil.must_operate_v,
            coil.must_release_v,
        )
    for load, (centre, braid, nominal_v) in sound.ports.items():
        if MeterPoint(load.box, load.strip) in along:
            continue
        yield PointReading(
            case.name,
            corner.name,
            MeterPoint(load.box, load.strip),
            abs(_volts(solution, centre, braid)),
            (load.box, load.strip) in fed(station, case.wanted),
            FEED_SHARE * nominal_v,
            OFF_SHARE * nominal_v,
        )


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


def _volts(solution: Solution, a: str, b: str) -> float:
    """Volts across a coil or a load, whose ends it joins itself."""
    return solution.potential(a) - solution.potential(b)


def short_loads(station: Station, corners: Sequence[Corner]) -> frozenset[Load]:
    """The loads whose relays or ports are wanted but left too few volts, without any fault."""
    low = sound_readings(station, [c for c in corners if c.is_low])
    short = {r.at for r in low if r.wanted and not r.is_right}
    return frozenset(load for load in station.steering.wanted.every if any(_works(load, at) for at in short))


def _works(load: Load, at: MeterPoint) -> bool:
    """Whether the load brings the volts there; a feed line that several antennas share has no antenna's label."""
    if load.kind == "feeder":
        return bool(at.ref) and (at.board, at.strip) == (SELECTOR, load.box)
    return at.board == load.box and bool(at.ref) == (load.kind == "select") and load.strip in ("", at.strip)
