"""The short ways that the book takes agree with the long ones, and what is read makes sense."""

import math
from dataclasses import replace

import pytest
from bench_boards import BOARDS, bench, design

from boardgen.commissioning.cable import Cable
from boardgen.commissioning.diagnosis import alike, kinds_of_strip, symptoms
from boardgen.commissioning.faults import board_faults, strip_faults
from boardgen.commissioning.readings import resistances
from boardgen.commissioning.strip_test import StripTest
from boardgen.commissioning.supplies import powered_tests
from boardgen.direct_current.between import resistances_between
from boardgen.direct_current.solve import changed, solve
from boardgen.rf.prediction import Prediction


def same(one, other):
    return one == other or math.isclose(one, other, rel_tol=1e-6, abs_tol=1e-9)


@pytest.mark.parametrize("name", BOARDS)
def test_other_antennas_may_stand_for_what_they_leave(name):
    here = bench(name)
    for strip in (s for s in here.request.antennas if s.fitted):
        test = StripTest(here, strip)
        for selected, probes in test.states:
            whole = resistances(here, probes, selected)
            for short, long in zip(test.ohms[selected], whole, strict=True):
                assert same(short.low, long.low)
                assert same(short.middle, long.middle)
                assert same(short.high, long.high)
                assert short.low <= short.middle <= short.high


@pytest.mark.parametrize("name", ["shared rail", "cascaded", "low side"])
def test_quick_readings_of_a_fault_are_those_of_the_whole_board(name):
    """Every fault on the whole board, solved afresh with nothing left out: same resistances, volts and amperes."""
    here = bench(name)
    strip = kinds_of_strip(here)[-1][0]
    test = StripTest(here, strip)
    for fault in (*strip_faults(here, strip), *board_faults(here)):
        found = {(c.expected.where, c.expected.selected, c.expected.name): c.found for c in test.under(fault)}
        operated = here.operated_by(strip.label)
        for powered, expected in zip(powered_tests(here, strip), test.volts, strict=True):
            solution = solve(changed(_everything(here, powered), fault.change))
            assert solution.converged
            for reading in expected:
                value = powered.values(here, solution)[reading.name][2]
                said = found.get((reading.where, reading.selected, reading.name))
                if said is None:
                    assert not reading.differs(value), (fault, reading)
                else:
                    assert abs(said - value) < 1e-6 + 1e-4 * abs(value), (fault, reading)
            if powered.relays:
                operated = frozenset(r for r in operated if test.pulls_in(r, solution))
        for selected, probes in test.states:
            network = changed(here.network(operated if selected else frozenset()), fault.change)
            ohms = resistances_between(network, tuple((p.a, p.b) for p in probes))
            for reading, ohm in zip(test.ohms[selected], ohms, strict=True):
                said = found.get((reading.where, selected, reading.name))
                if said is None:
                    assert not reading.differs(ohm), (fault, reading)
                else:
                    assert same(said, ohm), (fault, reading)


def _everything(here, powered):
    return replace(powered, only=None).network(here)


def test_a_right_board_has_no_symptom_and_most_faults_have_one():
    here, made = bench("shared rail"), design("shared rail")
    network = Prediction(made.request, made.choices, made.netlist).network
    test = StripTest(here, here.request.antennas[0])
    found = alike(symptoms(test, strip_faults(here, test.strip), network))
    seen = [s for s in found if s.changes or s.radio]
    assert len(seen) > 0.8 * len(found)
    names = {s.fault.name for s in seen}
    assert {"open, or a dry joint", "short", "turned round", "missing, or no pin soldered"} <= names
    # a contact that does not make is hidden by the windings on both sides of it: only radio tells
    dead = next(s for s in found if "pole A does not make" in s.fault.name)
    assert dead.changes == ()
    assert dead.radio[0].quantity == "insertion loss"
    assert dead.radio[0].found_db > 20


def test_crossed_conductors_pull_the_wrong_relay():
    here = bench("default")
    cable = Cable(here)
    first, second, *_ = here.request.antennas
    whole = cable.far_end(first, second)
    assert whole.pulled_in
    assert whole.others == ()
    faults = {f.name: cable.far_end(first, second, f.change) for f in cable.faults(first, second)}
    crossed = next(end for name, end in faults.items() if name.endswith(f"{second.label} crossed"))
    assert not crossed.pulled_in
    assert crossed.others == (second.label,)
    broken = faults["all 0V conductors open"]
    assert not broken.pulled_in
    assert broken.supply_a < 1e-6


@pytest.mark.parametrize("name", BOARDS)
def test_every_kind_of_antenna_is_tested_once(name):
    here = bench(name)
    kinds = kinds_of_strip(here)
    assert sorted(s.label for kind in kinds for s in kind) == sorted(s.label for s in here.request.antennas if s.fitted)
