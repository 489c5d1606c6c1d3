"""Every state at every corner: volts at every relay and every fed port, and what each single fault would do."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import partial
from typing import Final

from msgspec import Struct

from boardgen.direct_current.changes import holds, solve_changes
from boardgen.direct_current.solution import Solution
from boardgen.model.progress import Tell, tell_nobody
from boardgen.model.tasks import Run, in_turn
from boardgen.station.board_network import MeterPoint
from boardgen.station.consistency import SELECTOR
from boardgen.station.corners import Corner
from boardgen.station.faults import Befell, Kind, SingleFault, single_faults
from boardgen.station.network import Case, Station
from boardgen.station.readings import Meter, PointReading
from boardgen.station.states import cases, settled
from boardgen.station.wanted import Load

SHOWS_SHARE: Final = 0.1
"""By this share the current of the source must change, for an ammeter in the supply to show a fault (assumed)."""


class Sign(Struct, frozen=True):
    """The state in which a fault changes the current of the source most: amperes without the fault, and with it."""

    case: str
    sound_a: float
    fault_a: float

    @property
    def share(self) -> float:
        """The change over the larger of both."""
        return abs(self.fault_a - self.sound_a) / max(self.fault_a, self.sound_a, 1e-6)

    @property
    def shows(self) -> bool:
        """Whether an ammeter in the supply shows it."""
        return self.share >= SHOWS_SHARE


class FaultEffect(Struct, frozen=True):
    """What one fault does: the readings that are then not right, the worst of each relay, kind of wrong and case.

    `most_a` is the most that the source gives with it, `sign` what its current tells of it, at the first corner.
    """

    kind: Kind
    befell: Befell
    wrong: tuple[PointReading, ...]
    most_a: float
    sign: Sign | None = None

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


class _Tried(Struct, frozen=True):
    """What a fault, by its number, does in a state at a corner: what is not right, and the amperes of the source."""

    fault: int
    wrong: tuple[PointReading, ...]
    sign: Sign
    signs: bool


class _OfCase(Struct, frozen=True):
    """What was found in one state at every corner."""

    readings: tuple[PointReading, ...]
    tried: tuple[_Tried, ...]
    most_a: float
    unsettled: tuple[str, ...]


def prove(station: Station, corners: Sequence[Corner], tell: Tell = tell_nobody, run: Run = in_turn) -> Proof:
    """All cases at all corners, sound and with every single fault.

    A fault that changes no current in a state leaves that state as it is, and is not solved in it. `tell` is told how
    many states are done, `run` does one state after another or several at once.
    """
    every = cases(station)
    faults = {corner: single_faults(station, settled(station, every[0], corner)[0]) for corner in corners}
    found: list[_OfCase] = []
    for number, one in enumerate(run([partial(_of_case, station, corners, faults, case) for case in every]), 1):
        found.append(one)
        tell(f"state {number} of {len(every)}", number / len(every))
    return Proof(
        tuple(reading for one in found for reading in one.readings),
        _effects(faults[corners[0]], (tried for one in found for tried in one.tried)),
        max(one.most_a for one in found),
        tuple(words for one in found for words in one.unsettled),
    )


def _of_case(
    station: Station, corners: Sequence[Corner], faults: Mapping[Corner, Sequence[SingleFault]], case: Case
) -> _OfCase:
    readings: list[PointReading] = []
    tried: list[_Tried] = []
    unsettled: list[str] = []
    most_a = 0.0
    for at, corner in enumerate(corners):
        sound, solution = settled(station, case, corner)
        meter = Meter(station, sound, case, corner, solution.places)
        sound_a = source_a(solution)
        most_a = max(most_a, sound_a)
        readings += meter.every(solution)
        own = meter.wrong(solution)
        live = []
        for number, fault in enumerate(faults[corner]):
            if holds(solution, fault.change):
                tried.append(_Tried(number, own, Sign(case.name, sound_a, sound_a), signs=False))
            else:
                live.append((number, fault))
        solutions = solve_changes(solution, [fault.change for _, fault in live])
        unsettled += _unsettled(f"{case.name}, {corner.name}", (None, *(f for _, f in live)), (solution, *solutions))
        for (number, _), changed in zip(live, solutions, strict=True):
            sign = Sign(case.name, sound_a, source_a(changed))
            tried.append(_Tried(number, meter.wrong(changed), sign, signs=not at))
    return _OfCase(tuple(readings), tuple(tried), most_a, tuple(unsettled))


def _effects(faults: Sequence[SingleFault], tried: Iterable[_Tried]) -> tuple[FaultEffect, ...]:
    """What every fault does in all: the worst of each relay, kind of wrong and case."""
    wrong: list[dict[tuple[str, MeterPoint, str], PointReading]] = [{} for _ in faults]
    most_a = [0.0] * len(faults)
    signs: list[Sign | None] = [None] * len(faults)
    for one in tried:
        worst, sign = wrong[one.fault], signs[one.fault]
        for reading in one.wrong:
            key = (reading.case, reading.at, reading.verdict)
            if key not in worst or reading.rank_v < worst[key].rank_v:
                worst[key] = reading
        most_a[one.fault] = max(most_a[one.fault], one.sign.fault_a)
        if one.signs and (sign is None or round(one.sign.share, 6) > round(sign.share, 6)):
            signs[one.fault] = one.sign
    return tuple(
        FaultEffect(fault.kind, fault.befell, tuple(wrong[n].values()), most_a[n], signs[n])
        for n, fault in enumerate(faults)
    )


def _unsettled(state: str, faults: Sequence[SingleFault | None], solutions: Sequence[Solution]) -> list[str]:
    """What could not be solved in a state."""
    pairs = zip(faults, solutions, strict=True)
    return [f"{state}, {fault.name if fault else 'sound'}" for fault, solution in pairs if not solution.converged]


def sound_readings(station: Station, corners: Sequence[Corner]) -> tuple[PointReading, ...]:
    """The same without faults."""
    found: list[PointReading] = []
    for case in cases(station):
        for corner in corners:
            sound, solution = settled(station, case, corner)
            found += Meter(station, sound, case, corner, solution.places).every(solution)
    return tuple(found)


def steady_a(station: Station, corners: Sequence[Corner]) -> float:
    """Most amperes that the source gives without a fault."""
    sound = (settled(station, case, corner) for case in cases(station) for corner in corners)
    return max(source_a(solution) for _, solution in sound)


def source_a(solution: Solution) -> float:
    """Amperes out of the source."""
    return -solution.current("supply")


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
