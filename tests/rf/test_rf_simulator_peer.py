"""Every S entry of every kind of board against a general circuit simulator that runs the program's own deck."""

import subprocess

import numpy as np
import pytest

from boardgen.rf.spice_netlist import spice_netlist
from tests.rf.made_copper import with_layout
from tests.rf.rf_boards import BOARDS, band, made, states
from tests.rf.rf_peers import program

DECIBELS, DEGREES = 1e-5, 1e-4
SMALLEST = 1e-10
"""-200 dB. What lies below is rounding in the simulator."""


def raw_runs(content):
    """The vectors of each run in a binary raw file: frequency, then each terminal."""
    runs = []
    while content:
        head, _, rest = content.partition(b"Binary:\n")
        fields = dict(line.split(": ", 1) for line in head.decode().splitlines() if ": " in line)
        shape = int(fields["No. Points"]), int(fields["No. Variables"])
        size = 16 * shape[0] * shape[1]
        runs.append(np.frombuffer(rest[:size]).view(complex).reshape(shape))
        content = rest[size:]
    return runs


def simulated(simulator, network, selection, folder, sweep):
    """Frequencies and S matrices as the simulator finds them."""
    (folder / "response.cir").write_text(spice_netlist(network, selection, "board", sweep))
    done = subprocess.run([simulator, "-b", "response.cir"], cwd=folder, capture_output=True, text=True, check=False)
    raw = folder / "response.raw"
    assert raw.is_file(), done.stdout + done.stderr
    runs = raw_runs(raw.read_bytes())
    ohm = np.array([r for p in network.ports for r in (network.port_ohm[p.strip], network.common_mode_ohm)])
    assert len(runs) == len(ohm)
    impedance = np.stack([run[:, 1:] for run in runs], -1)
    return runs[0][:, 0].real.copy(), 2 / np.sqrt(np.outer(ohm, ohm)) * impedance - np.eye(len(ohm))


@pytest.mark.peer
@pytest.mark.parametrize("name", BOARDS)
def test_every_entry(name, tmp_path):
    """Common-mode entries included, whatever their size."""
    network = made(name)
    low, high = band(name, 2)
    for number, selection in enumerate(states(name)):
        folder = tmp_path / str(number)
        folder.mkdir()
        frequencies, theirs = simulated(program("ngspice"), network, selection, folder, f"lin 9 {low} {high}")
        ours = network.solve(selection.operated, network.blocks(frequencies)).matrix()[0]
        there = np.abs(ours) > SMALLEST
        assert np.abs(theirs)[~there].max(initial=0) < 2 * SMALLEST
        ratio = theirs[there] / ours[there]
        assert np.abs(20 * np.log10(np.abs(ratio))).max() < DECIBELS
        assert np.abs(np.angle(ratio, deg=True)).max() < DEGREES


@pytest.mark.peer
def test_with_the_copper_of_a_layout(tmp_path):
    """Couplings between strips are plain capacitors there; ours are a series, good to 0.02 dB down to -120 dB."""
    network = with_layout("default")
    low, high = band("default", 2)
    frequencies, theirs = simulated(program("ngspice"), network, network.selections[1], tmp_path, f"lin 9 {low} {high}")
    ours = network.solve(network.operated(network.antennas[0]), network.blocks(frequencies)).matrix()[0]
    there = np.abs(theirs) > 1e-6
    assert np.abs(20 * np.log10(np.abs(theirs[there] / ours[there]))).max() < 0.02
