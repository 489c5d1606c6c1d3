"""Cores in cold and heat."""

from msgspec.structs import replace

from boardgen.design import make_design
from boardgen.documents.response import temperature_notes, temperature_rows
from boardgen.request import Request
from boardgen.rf.judge import judge
from boardgen.rf.response import predict
from boardgen.spec.load import read_text
from tests.rf.rf_boards import BOARDS, catalogue, design


def scaled(parameter, factor):
    return replace(parameter, value=factor) if parameter.name == "permeability scale" else parameter


def test_the_figures_are_those_of_a_board_with_that_permeability():
    """The whole judgement anew with the permeability of every core at 0.725 and at 1.125 of what it is at 25 degC."""
    made = design("default").prediction
    found, whole = made.over_temperature, made.network.elements
    assert found.celsius == (-30, 50)
    for number, factor in enumerate((0.725, 1.125)):
        elements = tuple(replace(e, parameters=tuple(scaled(p, factor) for p in e.parameters)) for e in whole)
        judged = judge(made.request.spec, predict(made.request.spec, replace(made.network, elements=elements)))
        assert len(judged) == len(found.figures) == 4
        for one in judged:
            assert abs(found.figures[one.quantity][number] / one.achieved - 1) < 0.02, one.quantity


def test_cold_costs_loss_and_says_so():
    """0.4 dB at 25 degC, and more than the 0.5 dB that are wanted where the permeability is a quarter less."""
    asked = BOARDS["default"] + '[targets]\ninsertion_loss = "0.5 dB"\n'
    prediction = make_design(Request(read_text(asked), catalogue()), predicted=True).prediction
    (warned,) = [p for p in prediction.problems if p.id == "R008 temperature"]
    assert (warned.place.key, warned.severity) == ("targets.insertion_loss", "warning")
    assert "-30 degC" in warned.found
    heading, *rows = temperature_rows(prediction)
    assert heading == ("worst figure", "-30 degC", "50 degC", "wanted")
    assert [row[0] for row in rows] == ["insertion loss", "return loss", "isolation", "common-mode impedance"]
    (note,) = temperature_notes(prediction)
    assert "mix 73: 0.73 of that at 25 degC at -30 degC, 1.12 at 50 degC" in note


def test_a_board_without_cores_has_none():
    prediction = design("no breakers").prediction
    assert prediction.over_temperature is None
    assert temperature_rows(prediction) == temperature_notes(prediction) == []
