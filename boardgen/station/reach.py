"""How long a box's control cable may be, and how thin its conductors."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from boardgen.direct_current.solve import solve
from boardgen.handbook import data_cable, wire
from boardgen.spec.keys import Control
from boardgen.station.corners import Corner
from boardgen.station.network import Cable, Station, state
from boardgen.station.proof import cases, read

LONGEST_M: Final = 20e3
"""No cable is said to reach further."""
GAUGES: Final = (28, 26, 24, 23, 22, 20, 18, 16, 14, 12)
"""Gauges of control cables on the market, thin to thick: common practice, no source."""
STEPS: Final = 18
"""Halvings of the span of lengths: to 0.02 % of it."""


@dataclass(frozen=True, slots=True)
class Reach:
    """Metres that would still work, 0 where even no cable does, and the thinnest gauge that would do, or None.

    `volts`, `needed_v` and `subject` tell of the relay or port that has least to spare at the planned length.
    """

    longest_m: float
    thinnest_awg: int | None
    subject: str
    case: str
    volts: float
    needed_v: float


def reach(station: Station, corners: Sequence[Corner], box: str, control: Control) -> Reach:
    """Found by halving on the network itself, with the other boxes' cables as planned."""
    lowest = [c for c in corners if c.is_low]

    def least(length_m: float) -> tuple[float, str, str, float, float]:
        """Least margin of what is wanted in the box, and where."""
        scaled = _scaled(station, box, length_m / control.length)
        found = []
        for case in cases(station):
            if any(load.box == box and load.kind != "feeder" for load in case.wanted):
                for corner in lowest:
                    sound = state(scaled, case.on, case.wanted, corner)
                    readings = read(scaled, sound, solve(sound.network), case, corner)
                    found += [r for r in readings if r.wanted and r.subject.startswith(f"{box} ")]
        worst = min(found, key=lambda r: r.margin_v, default=None)
        if worst is None:
            return 0.0, "", "", 0.0, 0.0
        return worst.margin_v, worst.subject, worst.case, worst.volts, worst.needed_v

    now = least(control.length)
    low, high = (control.length, LONGEST_M) if now[0] >= 0 else (0.0, control.length)
    if now[0] < 0 and least(1e-3)[0] < 0:
        return Reach(0.0, None, *now[1:])
    if now[0] >= 0 and least(LONGEST_M)[0] >= 0:
        return Reach(LONGEST_M, GAUGES[0], *now[1:])
    for _ in range(STEPS):
        middle = (low * high) ** 0.5 if low > 0 else high / 2
        low, high = (middle, high) if least(middle)[0] >= 0 else (low, middle)
    return Reach(low, _gauge(station.cables[box].ohm_20c * low / control.length / control.length), *now[1:])


def _scaled(station: Station, box: str, factor: float) -> Station:
    cable = station.cables[box]
    return replace(station, cables={**station.cables, box: Cable(cable.ohm_20c * factor, cable.conductors)})


def _gauge(ohm_per_m: float) -> int | None:
    """The thinnest gauge with no more resistance, as data cable is allowed it."""
    return next((g for g in GAUGES if wire.awg_resistance_ohm_per_m(g) * data_cable.LIMIT_ALLOWANCE <= ohm_per_m), None)
