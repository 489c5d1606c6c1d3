"""What a meter reads, with its range: resistances without power."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from boardgen.commissioning.bench import Bench
from boardgen.commissioning.diode_readings import over_meters
from boardgen.commissioning.points import Probe
from boardgen.direct_current.between import resistances_between
from boardgen.kinds.direct_current import GRADES
from boardgen.model.selection import Selection

Unit = Literal["ohm", "V", "A"]
OPEN_OHM = 20e6
"""From here on a hand-held meter shows an open circuit: common practice, no source."""
ZERO_OHM = 1.0
"""Below this a hand-held meter shows little but its own leads."""


class Reading(Struct, frozen=True):
    """What is expected, with its range over the tolerances of the parts; `limit_a` is where the supply stops.

    `selection` says which lines are live: for volts and amperes those that the bench supply is on. `by_meter` is a
    resistance that hangs on the meter more than on the board.
    """

    name: str
    where: str
    selection: Selection
    unit: Unit
    low: float
    middle: float
    high: float
    limit_a: float = math.inf
    by_meter: bool = False

    def differs(self, value: float) -> bool:
        """Whether a person would tell that value from what is expected: beyond the range by a tenth, and by a step."""
        step = {"ohm": 0.5, "V": 0.25, "A": 0.5e-3}[self.unit]
        if self.unit == "ohm" and min(value, self.low) > OPEN_OHM:
            return False
        return not self.low * 0.9 - step <= value <= self.high * 1.1 + step


def resistances(
    bench: Bench, probes: Sequence[Probe], selection: Selection, only: frozenset[str] | None = None
) -> tuple[Reading, ...]:
    """Ohms between the points of each probe with the board worked in that way, nothing else live.

    Resistance between two points never falls when any resistance of a network rises (Rayleigh's law, recalled), so
    the ends of the range are those with every part at its low and at its high end.
    """
    pairs = tuple((p.a, p.b) for p in probes)
    columns = [resistances_between(bench.network(selection.operated, grade, only=only), pairs) for grade in GRADES]
    return tuple(
        through_diode(bench, p, selection, only)
        if p.through_diode
        else Reading(p.name, p.where, selection, "ohm", *ohms)
        for p, *ohms in zip(probes, *columns, strict=True)
    )


LOWEST_CLOSED = 30e3
"""A diode that does not conduct reads more than this on every meter; from here on only the least is told."""


def through_diode(bench: Bench, probe: Probe, selection: Selection, only: frozenset[str] | None) -> Reading:
    """What meters show through a diode; where it does not conduct, no less than the least of them."""
    least, usual, most = over_meters(bench, (probe.a, probe.b), only if probe.strip else None)
    most = math.inf if least > LOWEST_CLOSED else most
    return Reading(probe.name, probe.where, selection, "ohm", least, usual, most, by_meter=True)


def each_way(bench: Bench, probe: Probe, only: frozenset[str] | None) -> tuple[Probe, ...]:
    """The probe, or where a diode lies in its way one for each way round of the tips."""
    ways = ((probe.a, probe.b), (probe.b, probe.a))
    own = only if probe.strip else None
    straight = resistances_between(bench.network(frozenset(), only=own), ways[:1])[0]
    if probe.when_selected or straight < OPEN_OHM:
        return (probe,)
    if min(over_meters(bench, way, own)[0] for way in ways) > LOWEST_CLOSED:
        return (probe,)
    first, second = probe.points
    return tuple(
        replace(probe, where=f"{red} (red) and {black}", a=a, b=b, through_diode=True)
        for (a, b), red, black in zip(ways, (first, second), (second, first), strict=True)
    )
