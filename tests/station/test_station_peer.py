"""Every relay in every state of random stations against a general circuit simulator with junction models: 50 mV.

Ours draws straight lines through the catalogue's forward voltage; the models are others, recalled, at 27 degC.
"""

import re
import subprocess

import pytest

from boardgen.direct_current.solve import solve
from boardgen.station.corners import Corner
from boardgen.station.network import state
from boardgen.station.states import cases
from tests.station.made_stations import random_station
from tests.station.station_deck import cards, node_numbers, simulator

COUNT, CLOSE_V = 30, 0.050
NOMINAL = Corner("nominal", 27.0, 13.6, "typical")


def model_of(design):
    """The part of a diode, by the name of its element."""

    def find(name):
        if name.startswith("steering"):
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
    commands = []
    for n, one in enumerate(states):
        (folder / f"{seed}-{n}.cir").write_text("\n".join(cards(one.network, model_of(design))) + "\n")
        commands += [f"source {seed}-{n}.cir", "op", "print all", f"echo finished {n}", "remcirc"]
    (folder / f"{seed}.cir").write_text("\n".join(["* all", ".control", *commands, "quit", ".endc", ".end", ""]))
    done = subprocess.run([program, "-b", f"{seed}.cir"], cwd=folder, capture_output=True, text=True, check=False)
    runs = re.split(r"finished \d+", done.stdout)
    assert len(runs) == len(states) + 1, done.stdout[-2000:] + done.stderr[-2000:]
    for one, run in zip(states, runs, strict=False):
        volts = {int(n): float(v) for n, v in re.findall(r"^(?:v\()?(\d+)\)? = (\S+)$", run, re.MULTILINE)} | {0: 0.0}
        assert len(volts) > 10, f"the simulator did not settle on station {seed}: {run[:300]}"
        at, ours = node_numbers(one.network), solve(one.network)
        assert ours.converged
        for coil in one.coils:
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
