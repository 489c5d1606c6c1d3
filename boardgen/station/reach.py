"""How long a box's control cable may be, and how thin its conductors."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from msgspec import Struct

from boardgen.direct_current.changes import Change, solve_changes
from boardgen.direct_current.elements import Resistor
from boardgen.direct_current.network import Network
from boardgen.handbook import data_cable, wire
from boardgen.spec.keys import Control
from boardgen.station.board_network import MeterPoint
from boardgen.station.corners import Corner
from boardgen.station.network import Case, Station, conductor_name
from boardgen.station.readings import Meter, PointReading
from boardgen.station.states import cases, settled

LONGEST_M: Final = 20e3
"""No cable is said to reach further."""
GAUGES: Final = (28, 26, 24, 23, 22, 20, 18, 16, 14, 12)
"""Gauges of control cables on the market, thin to thick: common practice, no source."""
SHORTEST_M: Final = 1e-2
"""Stands for no cable at all."""
STEPS: Final = 16
"""Halvings of the span of lengths on a scale of ratios: to 0.03 %."""
CLOSE_V: Final = 1e-3
"""Volts by which another case may be worse at the length found."""


class Reach(Struct, frozen=True):
    """Metres that would still work, 0 where even no cable does, and the thinnest gauge that would do, or None.

    `volts` and `needed_v` tell of the relay or port, `at`, that has least to spare at the planned length.
    """

    longest_m: float
    thinnest_awg: int | None
    at: MeterPoint | None
    case: str
    volts: float
    needed_v: float


def reach(station: Station, corners: Sequence[Corner], box: str, control: Control) -> Reach:
    """Found by halving on the network itself, with the other boxes' cables as planned."""
    lowest = [c for c in corners if c.is_low]
    own = [c for c in cases(station) if any(load.box == box and load.kind != "feeder" for load in c.wanted)]
    every = [(case, corner) for case in own for corner in lowest]

    def worst(length_m: float, among: Sequence[tuple[Case, Corner]]) -> PointReading:
        """The reading with the least to spare of what is wanted in the box."""
        found = []
        for case, corner in among:
            sound, planned = settled(station, case, corner)
            [solution] = solve_changes(planned, [_scaled(station, sound.network, box, length_m / control.length)])
            readings = Meter(station, sound, case, corner, solution.places).every(solution)
            found += [r for r in readings if r.wanted and r.at.board == box]
        return min(found, key=lambda r: r.rank_v)

    if not every:
        return Reach(LONGEST_M, GAUGES[0], None, "", 0.0, 0.0)
    now = worst(control.length, every)
    told = (now.at, now.case, now.volts, now.needed_v)
    nearest = worst(SHORTEST_M, every)
    if nearest.margin_v < 0:
        return Reach(0.0, None, *told)
    # the case that is worst at the planned length, and whichever proves worse at the length found with it
    among = [_place(every, now)]
    while True:
        longest = _longest(lambda length_m: worst(length_m, among).margin_v)
        proved = worst(longest, every)
        if proved.margin_v >= -CLOSE_V or _place(every, proved) in among:
            break
        among.append(_place(every, proved))
    return Reach(longest, _gauge(station.cables[box].ohm_20c * longest / control.length**2), *told)


def _place(every: Sequence[tuple[Case, Corner]], reading: PointReading) -> tuple[Case, Corner]:
    return next(row for row in every if (row[0].name, row[1].name) == (reading.case, reading.corner))


def _longest(margin_v: Callable[[float], float]) -> float:
    """The length at which the margin is 0, between the limits."""
    low, high = SHORTEST_M, LONGEST_M
    if margin_v(high) >= 0:
        return high
    for _ in range(STEPS):
        middle = (low * high) ** 0.5
        low, high = (middle, high) if margin_v(middle) >= 0 else (low, middle)
    return low


def _scaled(station: Station, network: Network, box: str, factor: float) -> Change:
    """Every conductor of a box's cable with so many times its ohms."""
    names = (conductor_name(box, c) for c in station.cables[box].conductors)
    found = (network.element.get(name) for name in names)
    return [Resistor(e.name, *e.ends, e.ohm * factor) for e in found if isinstance(e, Resistor)]


def _gauge(ohm_per_m: float) -> int | None:
    """The thinnest gauge with no more resistance, as data cable is allowed it."""
    return next((g for g in GAUGES if wire.awg_resistance_ohm_per_m(g) * data_cable.LIMIT_ALLOWANCE <= ohm_per_m), None)
