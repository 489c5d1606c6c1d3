"""Diodes at direct current: Shockley's equation through the catalogue's point, also on the bench."""

import math

import numpy as np
import pytest
from msgspec.structs import replace

from boardgen.kinds import junction
from boardgen.kinds.direct_current import DirectPart, Warmth
from boardgen.model.choice import Subject
from boardgen.model.figure import Figure
from boardgen.model.netlist import Component
from tests.catalogue.shipped import CATALOGUE

THERMAL_V = 1.380649e-23 / 1.602176634e-19 * 298.15
"""k T / q at 25 C, from the exact constants of the SI."""


def made(forward_v, **others):
    """A diode of the catalogue with that forward voltage and these figures alone."""
    figures = {"forward voltage": Figure(forward_v, "V", "assumed", "invented for this test", forward_v, forward_v)}
    figures |= {name.replace("_", " "): Figure(v, "", "assumed", "invented", v, v) for name, v in others.items()}
    return replace(CATALOGUE.of_kind("diode")[0], figures=figures)


def volts_at(part, ampere, celsius=25.0):
    (found,) = (v for v, i in junction.junction(part, Warmth(celsius, "typical")).points if i == pytest.approx(ampere))
    return found


def test_it_has_its_forward_voltage_at_10_ma_and_25_c():
    """Makers' sheets of small diodes state it there (recalled)."""
    assert volts_at(made(0.7), 10e-3) == pytest.approx(0.7, rel=1e-9)


def test_a_decade_less_current_by_the_equation():
    """v = n Vt ln(1 + i/Is) + i Rs: n = 1.8 and 0.5 ohm where no sheet gives them."""
    expected = 1.8 * THERMAL_V * math.log(10) + 0.5 * 9e-3
    assert volts_at(made(0.7), 10e-3) - volts_at(made(0.7), 1e-3) == pytest.approx(expected, rel=1e-4)
    known = made(0.7, emission_coefficient=1.2, series_resistance=2.0)
    expected = 1.2 * THERMAL_V * math.log(10) + 2.0 * 9e-3
    assert volts_at(known, 10e-3) - volts_at(known, 1e-3) == pytest.approx(expected, rel=1e-4)


def test_two_millivolts_less_for_each_kelvin():
    """Electronics textbooks (recalled)."""
    assert volts_at(made(0.7), 10e-3, 75.0) == pytest.approx(0.7 - 50 * 2e-3, rel=1e-9)
    assert volts_at(made(0.7), 10e-3, -25.0) == pytest.approx(0.7 + 50 * 2e-3, rel=1e-9)


def test_a_forward_voltage_near_nothing_still_has_a_law():
    """Of the junction alone at least 50 mV are taken: assumed."""
    law = junction.junction(made(0.01), Warmth(25.0, "typical"))
    assert law.saturation_a == pytest.approx(10e-3 / math.expm1(0.05 / (1.8 * THERMAL_V)), rel=1e-6)


def test_reverse_current_doubles_every_ten_kelvin():
    """Electronics textbooks (recalled): 1 uA at 100 V and 25 C is 100 Mohm, at 35 C half of it."""
    known = made(0.7, reverse_current=1e-6, reverse_voltage=100.0)
    assert junction.leak_ohm(known, 25.0) == pytest.approx(100e6)
    assert junction.leak_ohm(known, 35.0) == pytest.approx(50e6)
    assert junction.leak_ohm(made(0.7), 25.0) == 10e6


def test_three_currents_a_decade_from_a_microampere_to_an_ampere():
    """Straight lines between them leave the curve by 3 mV at most."""
    assert len(junction.CURRENTS_A) == 19
    assert junction.CURRENTS_A[0] == pytest.approx(1e-6)
    assert junction.CURRENTS_A[-1] == 1.0
    assert junction.CURRENTS_A[3] == pytest.approx(1e-5)


@pytest.mark.parametrize(("grade", "forward_v"), [("low", 0.6), ("middle", 0.7), ("high", 0.8)])
def test_on_the_bench_the_law_of_a_room_through_the_catalogues_point(grade, forward_v):
    """Assumed: a tenth of a volt either way. Twenty times the current adds n V_T ln 20 and the series resistance."""
    component = Component("D1", Subject("", "test"), made(0.7), "", True)
    nodes = {"anode": "a", "cathode": "c"}
    ((curve),) = junction.direct_current(DirectPart("D1", component, nodes, grade))
    volts, amperes = zip(*curve.points, strict=True)
    assert np.interp(10e-3, amperes, volts) == pytest.approx(forward_v, abs=3e-3)
    beyond_v = 1.8 * 0.025693 * math.log(20) + 0.19 * 0.5
    assert np.interp(0.2, amperes, volts) == pytest.approx(forward_v + beyond_v, abs=3e-3)
