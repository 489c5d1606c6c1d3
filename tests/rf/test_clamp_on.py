"""Cores on the coax against a winding worked by hand, and against the braid breaker that they would stand in for."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from boardgen.appraisal import appraise
from boardgen.design import Design, make_design
from boardgen.documents import clamp_on as words
from boardgen.documents.explored import exploration
from boardgen.documents.json.explored import exploration_document
from boardgen.documents.json.response import response_document
from boardgen.explore.walk import Explored
from boardgen.handbook import ring_core
from boardgen.handbook.winding import impedance
from boardgen.request import Request
from boardgen.rf.clamp_on import CAPACITANCE_F, Choke
from boardgen.spec.load import read_text
from tests.catalogue.shipped import CATALOGUE
from tests.rf.rf_boards import BOARDS

BAND_HZ = (1.8e6, 10.15e6)


@cache
def made(board: str = "default", cable: str = "RG-6 copper centre") -> Design:
    feeder = f'[feeder]\ncable = "{cable}"\nlength = "150 m"\n' if cable else ""
    return make_design(Request(read_text(BOARDS[board] + feeder), CATALOGUE))


def by_hand(choke: Choke, frequency_hz: float, scale: float = 1.0, farad: float = CAPACITANCE_F[1]) -> complex:
    """A winding by the handbook, and as a sum of admittances the capacitance across it, which one turn has not."""
    sizes = [choke.part.figures[name].value for name in ("outer diameter", "inner diameter", "height")]
    mu = scale * CATALOGUE.permeability[choke.part.attributes["material"]].at(frequency_hz)
    wound = impedance(frequency_hz, ring_core.path_constant_m(*sizes), choke.turns, mu)
    across = 2j * np.pi * frequency_hz * farad if choke.turns > 1 else 0.0
    return 1 / (1 / wound + across)


def test_least_impedance_and_its_bound() -> None:
    """Each of these cores has least at the bottom of this band, with the least permeability and capacitance."""
    for choke in made().prediction.clamp_on:
        low, most = (CAPACITANCE_F[n] for n in (0, 2))
        assert choke.least_ohm.value == pytest.approx(abs(by_hand(choke, BAND_HZ[0])), rel=1e-6)
        assert choke.least_ohm.low == pytest.approx(abs(by_hand(choke, BAND_HZ[0], 0.75, low)), rel=1e-6)
        assert choke.least_ohm.high == pytest.approx(abs(by_hand(choke, BAND_HZ[0], 1.25, most)), rel=1e-6)


def test_as_many_as_are_told_equal_the_breaker_and_one_less_does_not() -> None:
    prediction = made().prediction
    response = prediction.response
    antennas = [c for c in response.of("common-mode impedance") if c.port == c.selected]
    breaker = min(antennas, key=lambda curve: float(curve.values.min())).values
    at = [n for n, f in enumerate(response.frequency_hz) if BAND_HZ[0] * 0.999 <= f <= BAND_HZ[1] * 1.001]
    for choke in prediction.clamp_on:
        assert choke.equal is not None
        one = np.array([abs(by_hand(choke, response.frequency_hz[n])) for n in at])
        assert (choke.equal.value * one >= breaker[at]).all()
        assert not ((choke.equal.value - 1) * one >= breaker[at]).all()
        assert choke.equal.low <= choke.equal.value <= choke.equal.high


def test_an_inductive_choke_cancels_a_part_of_a_capacitive_breaker() -> None:
    """Each place that is told to be helped or hindered is so, by the phasors of both."""
    prediction = made().prediction
    network, antenna = prediction.network, prediction.network.antennas[0]
    for choke in prediction.clamp_on[-2:]:
        assert choke.hinders_hz is not None
        assert choke.helps_hz is not None
        for frequency, helped in ((choke.hinders_hz[0], False), (choke.helps_hz[1], True)):
            blocks = network.blocks(np.array([frequency]))
            solution = network.solve(network.operated(antenna), blocks)
            alone = complex(solution.input_ohm((antenna, "common")).ravel()[0])
            assert alone.imag < 0
            assert (abs(alone + by_hand(choke, frequency)) >= 1.1 * abs(alone)) is helped


def test_only_what_the_jacket_goes_through_is_told() -> None:
    assert made(cable="").prediction.clamp_on == ()
    assert words.sentences(made(cable="").prediction) == ()
    thick = made(cable="15 mm foam 75 ohm").prediction.clamp_on
    assert {choke.part.attributes["form"] for choke in thick} == {"ring"}
    assert {choke.turns for choke in thick} == {3}
    medium = made(cable="RG-213").prediction.clamp_on
    assert "2631665702" not in [choke.part.number for choke in medium]


def test_the_advice_is_one_sentence_with_bounds_and_costs() -> None:
    design = made()
    said = words.advice(design.prediction, lambda choke, count: f"{count * 10} CAD")
    best = min(design.prediction.clamp_on, key=lambda one: one.equal.high)
    assert said.startswith("clamp-on cores instead of a wound braid breaker: one 2631803802 with 8 turns")
    assert f"{best.equal.value:.0f}, {best.equal.low:.0f} to {best.equal.high:.0f} in series" in said
    assert f"cost {best.equal.high * 10:.0f} CAD an antenna" in said
    assert said.endswith("the wound breaker is the lighter way")
    document = response_document(design.prediction, (), (), ())
    assert document.clamp_on_sentences == words.sentences(design.prediction)
    assert [one.part for one in document.clamp_on] == [c.part.key for c in design.prediction.clamp_on]


def test_without_a_braid_breaker_nothing_is_compared() -> None:
    prediction = made("output only").prediction
    assert {choke.equal for choke in prediction.clamp_on} == {None}
    assert words.advice(prediction).startswith("clamp-on cores on a board without braid breakers at its antennas")
    assert {row[3] for row in words.rows(prediction)} == {"no breaker"}


def test_a_walk_over_choices_tells_the_same_advice() -> None:
    design = made()
    own = Explored((), appraise(design))
    found = exploration(design, [own])
    assert found.clamp_on == words.advice(design.prediction, words.price_of(design)) != ""
    assert exploration_document(found, "", ()).clamp_on == found.clamp_on
