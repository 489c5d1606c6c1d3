"""Whatever is asked: what falls short is said, every figure is a number, and nothing breaks."""

import json
from typing import get_args

import pytest
from hypothesis import HealthCheck, given, settings

from boardgen.documents.json.document import json_bytes
from boardgen.documents.json.values import values_document
from boardgen.documents.values import rows
from boardgen.model.choice import Subject
from boardgen.model.problem import InputError
from boardgen.model.roles import ROLES, RoleName
from tests.sizing.random_boards import specifications
from tests.sizing.sized_boards import catalogue, not_numbers, sized, text, unsaid


def test_every_role_has_its_line_in_the_table():
    assert get_args(RoleName) == tuple(ROLES)


@pytest.mark.slow
@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(specifications())
def test_every_shortfall_is_said(specification):
    try:
        request, choices = sized(specification)
    except InputError as refused:
        faults = refused.problems
    else:
        faults = ()
        _judge(request, choices)
    assert all(problem.severity == "error" and problem.sentence for problem in faults)


def _judge(request, choices):
    assert unsaid(choices) == []
    assert not_numbers(choices) == []
    assert all(choice.unit == ROLES[choice.role].unit for choice in choices.values)
    assert all(not choice.part or choice.part in choices.parts for choice in choices.values)
    places = [(choice.role, choice.subject) for choice in choices.values]
    assert len(places) == len(set(places))
    read = json.loads(json_bytes(values_document(request.spec, choices, choices.problems)))
    assert len(read["values"]) == len(choices.values)
    shortfalls = [p for p in choices.problems if p.severity == "shortfall"]
    assert len(read["shortfalls"]) == len(shortfalls)
    assert all(p.found and (p.wanted or p.hint) for p in shortfalls)
    assert rows(choices, request.strips)


@pytest.mark.parametrize(
    ("tables", "role", "rule"),
    [
        ({"targets": {"common_mode": "200 kohm"}}, "bleeder", "V136"),
        ({"parts": {"series_diode": "diode-1n5819"}, "control": {"supply": "30 V"}}, "series diode", "V162"),
        ({"control": {"supply": "60 V"}}, "line suppressor", "V143"),
        ({"control": {"supply": "3..60 V"}}, "relay", "V151"),
        ({"control": {"supply": "3..60 V"}}, "relay voltage", "V150"),
        ({"control": {"supply": "3 V"}}, "control loop resistance", "V150"),
        ({"ports": {0: {"feed": "12 V 2 A"}}}, "feed fuse", "V180"),
        ({"ports": {0: {"feed": "30 V 1 mA"}}}, "feed voltage", "V181"),
        pytest.param(
            {"ports": {0: {"feed": "12 V 60 mA"}}, "lowest": "100 kHz", "highest": "30 MHz"},
            "choke",
            "V110",
            marks=pytest.mark.slow,
        ),
        pytest.param(
            {"lowest": "100 kHz", "highest": "30 MHz", "impedance": 75},
            "winding wire",
            "V101",
            marks=pytest.mark.slow,
        ),
        ({"control": {"conductors": 2}}, "conductors", "V170"),
    ],
)
def test_shortfall_of(tables, role, rule):
    """One board for each rule that can be missed: the value is not met, and the shortfall stands at its subject."""
    _, choices = sized(text(**tables))
    missed = [c for c in choices.values if c.role == role and not c.met]
    assert missed
    for choice in missed:
        assert any(
            p.id.startswith(rule) and p.severity == "shortfall" and p.place.key == str(choice.subject)
            for p in choices.problems
        )


def test_target_below_the_band_is_not_judged():
    """A common-mode target up to 3.5 MHz says nothing of a band from 7 MHz."""
    _, choices = sized(text("7 MHz", "7.3 MHz", ports={0: {"feed": "12 V 60 mA"}}))
    assert not [c for c in choices.values if c.role == "common-mode impedance"]
    assert not not_numbers(choices)


def test_an_antenna_that_is_not_fitted_asks_for_nothing():
    """Its feed of 24 V could not arrive, but it has no relay, no current and no feed."""
    ports = {0: {"feed": "12 V 60 mA"}, 1: {"feed": "24 V 60 mA", "fitted": False}}
    control = {"length": "20 m"}
    _, choices = sized(text(ports=ports, control=control))
    _, alone = sized(text(ports={0: ports[0]}, control=control))
    assert not [p for p in choices.problems if p.severity == "shortfall"]
    cable = Subject("", "control entry", "cable")
    assert choices.choice("longest cable", cable).achieved == alone.choice("longest cable", cable).achieved


def test_reverse_voltage_of_a_pinned_flyback_diode():
    """A diode that carries the coil's current and not the reverse voltage falls short in words."""
    _, choices = sized(text(parts={"flyback_diode": "diode-1n5819"}, control={"supply": "28 V"}))
    assert next(p for p in choices.problems if p.id.startswith("V162")).wanted == "42 V are needed"
    assert catalogue().parts["diode-1n5819"].figures["reverse voltage"].value == 40
