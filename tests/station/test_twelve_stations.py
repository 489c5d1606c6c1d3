"""Twelve stations against a node solver that reads their tables: volts within a tenth of a volt, every verdict.

A run of the tests takes an extreme and a sample of faults and states; `python -m tests.station.test_twelve_stations`
goes through all of them, at all four extremes (5 minutes).
"""

import random
import sys

import pytest

from boardgen.direct_current.changes import solve_changes
from boardgen.station.faults import single_faults
from boardgen.station.proof import source_a
from boardgen.station.readings import Meter
from boardgen.station.states import cases, settled
from tests.station.table_network import Tables, faults
from tests.station.twelve_stations import STATIONS, one_of_twelve

CLOSE_V = 0.1
SAMPLE = 25
"""Pairs of a fault and a state that are looked at of each station."""


def beside(design, made, corner, case, program_faults, own_faults):
    """(state, fault, relay or feed, ours, by the tables) of a state, sound and with each fault that spares the fuse."""
    sound, solution = settled(design.station, case, corner)
    meter = Meter(design.station, sound, case, corner, solution.places)
    changed = solve_changes(solution, [fault.change for fault in program_faults])
    for fault, one in zip((None, *program_faults), (solution, *changed), strict=True):
        assert one.converged
        name = fault.name if fault else "sound"
        volts, ampere = made.network(case.name, own_faults[name] if fault else None).solved()
        if ampere > design.blows_a:
            assert source_a(one) > 0.9 * design.blows_a, (case.name, name)
            continue
        theirs = made.readings(case.name, volts)
        ours = {str(reading.at): reading for reading in meter.every(one)}
        assert ours.keys() == theirs.keys()
        yield from ((f"{case.name}, {corner.name}", name, at, ours[at], theirs[at]) for at in ours)


def differences(compared):
    """What differs by more than a tenth of a volt, or in a verdict that the tenth does not explain."""
    for *where, ours, (volts, verdict, near_v) in compared:
        if abs(ours.volts - volts) > CLOSE_V or (ours.verdict != verdict and near_v > CLOSE_V):
            yield (*where, round(ours.volts, 3), round(volts, 3), ours.verdict, verdict)


def of_station(name, corner, sample=None):
    """All that is compared of a station at an extreme: every state sound, and states with a fault, all or a sample."""
    design = one_of_twelve(name)
    made = Tables(design, corner.celsius, corner.supply_v, lowest=corner.is_low, warm=corner.is_warm)
    every = cases(design.station)
    program_faults = single_faults(design.station, settled(design.station, every[0], corner)[0])
    own_faults = faults(made)
    assert {fault.name for fault in program_faults} == set(own_faults)
    pairs = [(case, fault) for case in every for fault in program_faults]
    pairs = pairs if sample is None else random.Random(name).sample(pairs, sample)
    for case in every:
        yield from beside(design, made, corner, case, [f for c, f in pairs if c is case], own_faults)


@pytest.mark.parametrize(("number", "name"), [*enumerate(STATIONS)])
def test_volts_and_verdicts_by_the_tables(number, name):
    compared = list(of_station(name, one_of_twelve(name).corners[number % 4], SAMPLE))
    assert len(compared) > 100
    assert list(differences(compared)) == []


def main():
    """Goes through everything; 1 where anything differs."""
    unlike = 0
    for name in STATIONS:
        for corner in one_of_twelve(name).corners:
            compared = list(of_station(name, corner))
            found = list(differences(compared))
            unlike += len(found)
            most_v = max(abs(ours.volts - theirs[0]) for *_, ours, theirs in compared)
            said = f"{name}, {corner.name}: {len(compared)} readings, {len(found)} unlike, {most_v:.3f} V at most"
            sys.stdout.write("\n  ".join((said, *map(str, found[:20]))) + "\n")
    return int(unlike > 0)


if __name__ == "__main__":
    sys.exit(main())
