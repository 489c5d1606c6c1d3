"""Resistors of the attenuator: preferred numbers, their error told, and what no resistor makes refused in words."""

from __future__ import annotations

import math

import pytest

from boardgen.request import Request
from boardgen.sizing.size import size
from boardgen.spec.load import read_text
from tests.catalogue.shipped import CATALOGUE

TEXT = """
[band]
lowest = "1.8 MHz"
highest = "10 MHz"
impedance = "{ohm} ohm"
[[antenna]]
label = "north"
[output]
attenuator = "{steps}"
[control]
conductors = {conductors}
length = "20 m"
"""


def sized(ohm: int, steps: str, conductors: int = 8):
    return size(Request(read_text(TEXT.format(ohm=ohm, steps=steps, conductors=conductors)), CATALOGUE))


@pytest.mark.parametrize(("ohm", "loss_db"), [(50, 2), (50, 3), (75, 6), (93, 10), (75, 20), (300, 2)])
def test_loss_and_match_of_nominal_resistors(ohm, loss_db):
    """Conductances: into shunt, series and shunt with the end behind; the rest is Ohm's law."""
    choices = sized(ohm, f"{loss_db} dB")
    assert [p for p in choices.problems if p.id.startswith("V154")] == []
    by_role = {(c.role, c.subject.slot): c for c in choices.values if c.subject.stage == "attenuator 1"}
    shunt, series = (by_role["resistance", slot].achieved for slot in ("shunt", "series"))
    end = 1 / (1 / shunt + 1 / ohm)
    input_ohm = 1 / (1 / shunt + 1 / (series + end))
    # of 2 V behind the source's resistance, with 1 V at the end where nothing is between
    volts = 2 * input_ohm / (ohm + input_ohm) * end / (series + end)
    told = by_role["attenuation", "step"]
    assert told.achieved == pytest.approx(-20 * math.log10(volts), abs=1e-9)
    assert told.required == loss_db
    assert told.achieved == pytest.approx(loss_db, rel=0.05)
    assert by_role["attenuator return loss", "step"].achieved >= 30


def test_a_step_that_no_resistor_makes_falls_short():
    (problem,) = [p for p in sized(25, "2 dB").problems if p.id.startswith("V154")]
    assert "2 dB within 5% and 30 dB are needed" in problem.sentence
    assert problem.severity == "shortfall"


@pytest.mark.parametrize(("steps", "short"), [("6 dB", False), ("6 dB, 10 dB", False), ("6 dB, 10 dB, 20 dB", True)])
def test_a_cable_with_too_few_conductors_falls_short(steps, short):
    """One antenna, 0V and a conductor each step: four do for two steps."""
    found = [p for p in sized(75, steps, conductors=4).problems if p.severity == "shortfall"]
    assert bool(found) is short
    assert all("conductors" in p.sentence for p in found)
