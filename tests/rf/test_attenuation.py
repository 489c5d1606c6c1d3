"""Steps of the attenuator: what they add on a whole board, with bounds, against their resistors' own chain matrix."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from boardgen.design import make_design
from boardgen.handbook import attenuator
from boardgen.request import Request
from boardgen.rf.attenuation import attenuations
from boardgen.spec.load import read_text
from tests.catalogue.shipped import CATALOGUE
from tests.circuit.options import specification
from tests.rf.rf_peers import program
from tests.rf.test_rf_simulator_peer import DECIBELS, SMALLEST, simulated

NEAR_DB = 0.1


@pytest.fixture(scope="module")
def design():
    text = specification({"attenuator": "6 dB, 10 dB"})
    return make_design(Request(read_text(text), CATALOGUE), laid_out=False)


def resistor_ohm(design, step, slot):
    return (
        design.netlist.component[
            next(c.ref for c in design.netlist.components if (c.subject.stage, c.subject.slot) == (step, slot))
        ]
        .part.figures["resistance"]
        .value
    )


def test_every_set_of_steps_adds_what_its_resistors_make(design):
    found = {one.lines: one for one in design.prediction.attenuations}
    steps = {"attenuator 1": 6.0, "attenuator 2": 10.0}
    assert set(found) == {("attenuator 1",), ("attenuator 2",), ("attenuator 1", "attenuator 2")}
    for lines, one in found.items():
        own_db = sum(
            attenuator.loss_db(resistor_ohm(design, line, "port shunt"), resistor_ohm(design, line, "series"), 75.0)
            for line in lines
        )
        assert one.wanted_db == sum(steps[line] for line in lines)
        assert one.added_db == pytest.approx(own_db, abs=NEAR_DB)
        assert one.added_low_db < one.added_db < one.added_high_db
        assert one.return_loss_low_db <= one.return_loss_db


def test_the_bounds_hold_resistors_at_their_ends(design):
    """Half a per cent either way of each resistor of a step, well within its tolerance, by its chain matrix."""
    for one in design.prediction.attenuations[:2]:
        (line,) = one.lines
        shunt, series = (resistor_ohm(design, line, slot) for slot in ("port shunt", "series"))
        ends = [attenuator.loss_db(shunt * a, series * b, 75.0) for a, b in itertools.product((0.995, 1.005), repeat=2)]
        assert one.added_low_db - 0.02 < min(ends)
        assert max(ends) < one.added_high_db + 0.02


def test_targets_are_judged_without_them(design):
    plain = make_design(Request(read_text(specification({})), CATALOGUE), laid_out=False)
    losses = [
        next(j.achieved for j in one.prediction.judged if j.target == "insertion_loss") for one in (design, plain)
    ]
    assert losses[0] == pytest.approx(losses[1], abs=0.05)


def test_a_board_without_has_none(design):
    spec = read_text(specification({}))
    assert attenuations(spec, design.prediction.network, design.netlist) == ()


@pytest.mark.peer
def test_every_set_of_steps_in_a_circuit_simulator(design, tmp_path):
    """Every entry of the S matrix with each set of steps live and the first antenna selected."""
    network, (low, high) = design.prediction.network, (1.8e6, 10.15e6)
    for number, one in enumerate(design.prediction.attenuations):
        folder = tmp_path / str(number)
        folder.mkdir()
        selection = design.netlist.select(network.antennas[0], one.lines)
        frequencies, theirs = simulated(program("ngspice"), network, selection, folder, f"lin 5 {low} {high}")
        ours = network.solve(selection.operated, network.state(selection.operated, frequencies)).matrix()[0]
        there = np.abs(ours) > SMALLEST
        assert np.abs(20 * np.log10(np.abs(theirs[there] / ours[there]))).max() < DECIBELS
