"""What a meter on ohms shows where its own voltage drives a diode: another figure each way round, and on each meter.

A meter is a source behind a resistance and shows volts over amperes at its tips; diodes have their junction's own law.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from msgspec import Struct

from boardgen.commissioning.bench import Bench
from boardgen.direct_current.elements import Resistor, VoltageSource
from boardgen.kinds.direct_current import Drop, Grade, Warmth

if TYPE_CHECKING:
    from boardgen.direct_current.network import Network
    from boardgen.direct_current.solution import Solution

ROOM_C = 20.0
SOURCE, INSIDE, RED = "meter", "meter's own", "#meter red"


class Meter(Struct, frozen=True):
    """Volts at its open tips, and its own resistance."""

    volt: float
    ohm: float


USUAL = Meter(1.5, 10e3)
METERS = (Meter(2.8, 3e3), USUAL, Meter(0.3, 10e3))
"""Ranges for some kilohm of hand-held meters: assumed."""
ENDS: tuple[tuple[Grade, Drop], ...] = (("low", "least"), ("middle", "typical"), ("high", "most"))
"""Ends of the tolerances of resistances, and of forward voltages with them."""


def with_meter(
    bench: Bench,
    tips: tuple[str, str],
    only: frozenset[str] | None,
    meter: Meter = USUAL,
    end: tuple[Grade, Drop] = ENDS[1],
) -> Network:
    """The board at rest with that meter, its red tip at the first point."""
    more = (VoltageSource(SOURCE, RED, tips[1], meter.volt), Resistor(INSIDE, RED, tips[0], meter.ohm))
    grade, drop = end
    return bench.network(frozenset(), grade, more, only, Warmth(ROOM_C, drop))


def driven(network: Network, tips: tuple[str, str]) -> Solution | None:
    """The network with a meter at these points, solved; None where nothing joins both."""
    from boardgen.direct_current.solve import solve

    return solve(network) if network.island[tips[0]] == network.island[tips[1]] else None


def ohm_of(solution: Solution | None, tips: tuple[str, str], meter: Meter = USUAL) -> float:
    """What the meter shows in a network that was solved with it; infinite where nothing joins both points."""
    if solution is None:
        return math.inf
    ampere, volt = -solution.current(SOURCE), solution.volts(*tips)
    return volt / ampere if ampere > 0 and volt < meter.volt * (1 - 1e-9) else math.inf


def over_meters(bench: Bench, tips: tuple[str, str], only: frozenset[str] | None) -> tuple[float, float, float]:
    """Least, usual and most that the meters show over the tolerances of the parts."""
    found = {
        (meter, end): ohm_of(driven(with_meter(bench, tips, only, meter, end), tips), tips, meter)
        for meter in METERS
        for end in ENDS
    }
    return min(found.values()), found[USUAL, ENDS[1]], max(found.values())
