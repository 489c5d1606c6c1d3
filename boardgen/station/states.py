"""Every state of a station, solved: rest and each direction at each corner, and what then flows in the cables."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from boardgen.direct_current.changes import Change, solve_changes
from boardgen.direct_current.solution import Solution
from boardgen.direct_current.solve import solve
from boardgen.station.board_network import Coil
from boardgen.station.conductors import Conductor
from boardgen.station.corners import Corner
from boardgen.station.network import Case, State, Station, all_coils, conductor_name, contact, contact_name, state

REST: Final = "rest"
"""Name of the state in which nothing is on."""


def cases(station: Station) -> tuple[Case, ...]:
    """Rest, then every direction."""
    steering = station.steering
    directions = (Case(d, steering.on(d), loads, steering.along(d)) for d, loads in steering.wanted.loads.items())
    return (Case(REST, (), frozenset()), *directions)


def settled(station: Station, case: Case, corner: Corner) -> tuple[State, Solution]:
    """A case at a corner with its solution; every case of the corner is worked out with the first."""
    if corner not in station.known:
        station.known[corner] = _all_settled(station, corner)
    return station.known[corner][case]


def _all_settled(station: Station, corner: Corner) -> dict[Case, tuple[State, Solution]]:
    """Every case as a change of rest: other contacts are closed, and other coils warm."""
    rest, *directions = cases(station)
    sound = state(station, rest, corner)
    coils = {case: all_coils(station, case.energised, corner) for case in (rest, *directions)}
    changes = [_change(station, sound, case, own) for case, own in coils.items()]
    solutions = solve_changes(solve(sound.network), changes)
    return {
        case: (State(solution.network, own, sound.ports), solution)
        for (case, own), solution in zip(coils.items(), solutions, strict=True)
    }


def _change(station: Station, rest: State, case: Case, coils: tuple[Coil, ...]) -> Change:
    """What differs from rest, of what is in the network at all."""
    own = (*(contact(station, n, closed=True) for n in case.on), *(coil.element for coil in coils))
    return [e for e in own if rest.network.element.get(e.name) not in (None, e)]


class Flow(Struct, frozen=True):
    """Most amperes in a conductor, in any state; 0 in a spare."""

    conductor: Conductor
    most_a: float


def output_flows(station: Station, corners: Sequence[Corner]) -> dict[int, float]:
    """Most amperes through each output, in any state."""
    sound = [settled(station, case, corner)[1] for case in cases(station) for corner in corners if not corner.is_low]
    names = {o.number: contact_name(o.number) for o in station.steering.outputs}
    return {number: max(abs(one.current(name)) for one in sound) for number, name in names.items()}


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
