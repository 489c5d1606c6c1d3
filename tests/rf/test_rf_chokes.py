"""Open chokes of two ports side by side bound isolation."""

import math

import pytest
from msgspec.structs import replace

from boardgen.documents.response import choke_notes, notes
from boardgen.documents.verdicts import rests_on
from boardgen.model.parasitics import ChokePair
from boardgen.rf.prediction import Prediction
from tests.rf.made_copper import made_up
from tests.rf.rf_boards import design

NAME = "plain feed"
DRUM_M3 = 0.8e-6


def pair(coupling):
    board = design(NAME)
    refs = [c.ref for c in board.netlist.of_kind("choke") if c.fitted]
    strips = tuple(board.netlist.component[ref].subject.strip for ref in (refs[0], refs[-1]))
    assert len(set(strips)) == 2
    return ChokePair((refs[0], refs[-1]), strips, 16e-3, DRUM_M3, 100e-6, coupling)


def predicted(*chokes):
    board = design(NAME)
    return Prediction(board.request, board.choices, board.netlist, replace(made_up(board), chokes=chokes))


def isolation(prediction):
    return next(v for v in prediction.verdicts if v.judged.target == "isolation")


def test_what_a_pair_leaves_by_hand():
    """k Z0/(2 w L): 0.05 of 37.5 ohm over 1131 ohm at 1.8 MHz."""
    share = 0.05 * 37.5 / (2 * math.pi * 1.8e6 * 100e-6)
    assert pair(0.05).leaves_db(1.8e6, 75.0) == pytest.approx(-20 * math.log10(share))


def test_the_bound_of_isolation_reaches_down_to_what_they_leave():
    without, weak, strong = (isolation(predicted(*chokes)) for chokes in ((), (pair(1e-6),), (pair(0.2),)))
    assert weak.bound.lowest == pytest.approx(without.bound.lowest, abs=0.05)
    assert strong.bound.lowest == pytest.approx(pair(0.2).leaves_db(1.8e6, 75.0), abs=0.01)
    assert strong.bound.nominal == without.bound.nominal


def test_a_target_that_they_alone_endanger_rests_on_them():
    prediction = predicted(pair(0.2))
    verdict = isolation(prediction)
    assert verdict.state == "met as stated"
    assert rests_on(prediction, verdict).endswith("set them farther apart, or lay one of them on its side")


def test_the_notes_tell_the_spacing_that_lowers_it():
    """10 dB less coupling is 1.468 times the distance, by the cube."""
    prediction = predicted(pair(1.5 * 3 * DRUM_M3 / (4 * math.pi) / 16e-3**3))
    (words,) = choke_notes(prediction)
    assert "stand 16.0 mm apart and are coupled by 0.07 at most" in words
    assert "; 23 mm would leave " in words
    assert words in notes(prediction)
    assert choke_notes(predicted()) == ()
