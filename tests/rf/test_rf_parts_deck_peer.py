"""Boards against a simulator whose deck is made from the list of nets and the figures of the parts alone."""

import numpy as np
import pytest

from boardgen.design import make_design
from boardgen.request import Request
from boardgen.rf.network import network
from boardgen.spec.load import read_text
from tests.rf.parts_deck import simulated, written
from tests.rf.rf_boards import FED, catalogue, text

HELD_OUT = {
    "wide, 50 ohm, open": text(
        [""] * 5, 'idle = "open"', band='lowest = "1.8 MHz"\nhighest = "30 MHz"\nimpedance = "50 ohm"'
    ),
    "two relays, fed": text(
        [FED, "", ""],
        'relays_in_series = 2\nfeed_arrangement = "local rail"',
        band='lowest = "3.5 MHz"\nhighest = "9 MHz"',
    ),
}
PASSED, REFLECTED, APART = 0.01, 0.3, 0.1
"""Decibels by which may be off: the loss of the selected way, what is reflected, and all that should not arrive."""
SMALLEST = 1e-9
"""-180 dB. What lies below is rounding in the simulator's text."""


@pytest.mark.peer
@pytest.mark.parametrize("name", HELD_OUT)
def test_a_deck_of_the_parts_alone(name, tmp_path):
    """Every entry with the first antenna selected, over the band."""
    board = make_design(Request(read_text(HELD_OUT[name]), catalogue()))
    ours = network(board.request, board.choices, board.netlist)
    operated, band = ours.operated(ours.antennas[0]), board.spec.band
    terminals = [
        pair
        for p in ours.ports
        for pair in (((p.centre, p.braid), ours.port_ohm[p.strip]), ((p.braid, "0V"), ours.common_mode_ohm))
    ]
    first, output = (2 * [p.strip for p in ours.ports].index(strip) for strip in (ours.antennas[0], "output"))
    limits = np.full((len(terminals), len(terminals)), APART)
    np.fill_diagonal(limits, REFLECTED)
    limits[first, output] = limits[output, first] = PASSED
    for frequency_hz in np.geomspace(band.lowest, band.highest, 3):
        theirs = simulated(written(board, operated, frequency_hz), terminals, tmp_path)
        predicted = ours.solve(operated, ours.blocks(np.array([frequency_hz]))).matrix()[0, 0]
        there = np.abs(predicted) > SMALLEST
        assert (np.abs(20 * np.log10(np.abs(theirs / predicted))) < limits)[there].all(), frequency_hz
