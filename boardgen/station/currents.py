"""What flows in the conductors of each cable, at most."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from boardgen.station.conductors import Conductor
from boardgen.station.corners import Corner
from boardgen.station.network import Station, conductor_name
from boardgen.station.states import cases, settled


class Flow(Struct, frozen=True):
    """Most amperes in a conductor, in any state; 0 in a spare."""

    conductor: Conductor
    most_a: float


def flows(station: Station, corners: Sequence[Corner]) -> dict[str, tuple[Flow, ...]]:
    """By box, in the order of the cable's conductors."""
    most: dict[tuple[str, Conductor], float] = {}
    for case in cases(station):
        for corner in corners:
            if not corner.is_low:
                _, solution = settled(station, case, corner)
                for box, cable in station.cables.items():
                    for c in cable.conductors:
                        name = conductor_name(box, c)
                        ampere = abs(solution.current(name)) if name in solution.network.element else 0.0
                        most[box, c] = max(most.get((box, c), 0.0), ampere)
    return {box: tuple(Flow(c, most[box, c]) for c in cable.conductors) for box, cable in station.cables.items()}
