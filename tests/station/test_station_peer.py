"""Every relay in every state of random stations against a general circuit simulator with junction models: 50 mV.

Ours draws straight lines through the catalogue's forward voltage; the models are others, recalled, at 27 degC.
"""

import re
import subprocess

import pytest

from boardgen.direct_current.solve import solve
from boardgen.station.corners import Corner
from boardgen.station.faults import single_faults
from boardgen.station.network import state
from boardgen.station.proof import source_a
from boardgen.station.states import cases
from tests.station.made_stations import box_design, random_station, station
from tests.station.station_deck import cards, node_numbers, simulator
from tests.station.test_station_proof import SHORT

COUNT, CLOSE_V = 30, 0.050
FUSE_A = 0.5
"""More blows every fuse of these stations."""
NOMINAL = Corner("nominal", 27.0, 13.6, "typical")


def model_of(design):
    """The part of a diode, by the name of its element."""

    def find(name):
        if name.startswith(("steering", "reverse")):
            return design.diode.number
        board, _, ref = name.partition(" ")
        if board == "selector":
            selector = design.station.selector
            return (selector.series if "series" in name else selector.flyback).number
        part = design.station.boards[board].netlist.component[ref].part
        return "suppressor" if part.kind == "suppressor" else part.number

    return find


def compared(program, folder, seed):
    """How far every relay is from the simulator's, in every state of a station, in one run of it."""
    design = random_station(seed)
    states = [state(design.station, case, NOMINAL) for case in cases(design.station)]
    yield from beside(program, folder, seed, design, [(one.network, one.coils) for one in states])


def beside(program, folder, seed, design, networks):
    """The volts of every coil of each network (network, coils), ours and the simulator's, in one run of it."""
    commands = []
    for n, (network, _) in enumerate(networks):
        (folder / f"{seed}-{n}.cir").write_text("\n".join(cards(network, model_of(design))) + "\n")
        commands += [f"source {seed}-{n}.cir", "op", "print all", f"echo finished {n}", "remcirc"]
    (folder / f"{seed}.cir").write_text("\n".join(["* all", ".control", *commands, "quit", ".endc", ".end", ""]))
    done = subprocess.run([program, "-b", f"{seed}.cir"], cwd=folder, capture_output=True, text=True, check=False)
    runs = re.split(r"finished \d+", done.stdout)
    assert len(runs) == len(networks) + 1, done.stdout[-2000:] + done.stderr[-2000:]
    for (network, coils), run in zip(networks, runs, strict=False):
        volts = {int(n): float(v) for n, v in re.findall(r"^(?:v\()?(\d+)\)? = (\S+)$", run, re.MULTILINE)} | {0: 0.0}
        assert len(volts) > 10, f"the simulator did not settle on station {seed}: {run[:300]}"
        at, ours = node_numbers(network), solve(network)
        assert ours.converged
        for coil in coils:
            theirs = volts[at[coil.plus]] - volts[at[coil.minus]]
            yield coil, ours.potential(coil.plus) - ours.potential(coil.minus), theirs


@pytest.mark.peer
def test_every_relay_in_every_state(tmp_path):
    program, count = simulator(), 0
    for seed in range(COUNT):
        for coil, ours, theirs in compared(program, tmp_path, seed):
            assert ours == pytest.approx(theirs, abs=CLOSE_V), (seed, coil.name)
            count += 1
    assert count > 3000


def kinds_of_station(pick):
    """Stations with lines shared, drivers, two antennas at once and switches, beside the plain ones."""
    ways = {"dune": 3, "heath": 2, "marsh": 3}
    boxes, low = (
        [(name, box_design(count, drive=drive), SHORT) for name, count in ways.items()]
        for drive in ("high side", "low side")
    )
    directions = [(f"{name} {n}", f"{name}/way {n}", None) for name in ways for n in range(1, ways[name] + 1)]
    pairs = [("both", "heath/way 1", "heath/way 2")]
    return {
        "shared lines": lambda: station(boxes, directions, source={"outputs": 5, "together": True}, pairs=pairs),
        "high-side driver": lambda: station(
            boxes, directions, source={"kind": "high-side driver", "leakage": "50 uA"}, pairs=pairs
        ),
        "open drain": lambda: station(low, directions, source={"kind": "open drain", "leakage": "50 uA"}, pairs=pairs),
        "two switches": lambda: station(boxes, directions, source={"kind": "manual switch", "switches": "two"}),
    }[pick]()


@pytest.mark.slow
@pytest.mark.peer
@pytest.mark.parametrize("kind", ["shared lines", "high-side driver", "open drain", "two switches"])
def test_every_relay_under_every_kind_of_fault(kind, tmp_path):
    """In two states of each fault: within a tenth of a volt, where the fuse does not go before."""
    design = kinds_of_station(kind)
    rest, *every = cases(design.station)
    networks = []
    for n, fault in enumerate(single_faults(design.station, state(design.station, rest, NOMINAL))):
        for case in (every[n % len(every)], every[(n * 7 + 3) % len(every)]):
            sound = state(design.station, case, NOMINAL)
            network = sound.network.changed(fault.change)
            if source_a(solve(network)) < FUSE_A:
                networks.append((network, sound.coils))
    compared = list(beside(simulator(), tmp_path, "f", design, networks))
    assert len(compared) > 500
    for coil, ours, theirs in compared:
        assert ours == pytest.approx(theirs, abs=0.1), coil.name
