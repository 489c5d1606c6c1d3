"""The short ways that the book takes agree with the long ones, and what is read makes sense."""

import math

import numpy as np
import pytest
from msgspec.structs import replace

from boardgen.commissioning.cable import CableBench
from boardgen.commissioning.diagnosis import alike, kinds_of_strip, symptoms
from boardgen.commissioning.diode_readings import USUAL
from boardgen.commissioning.faults import board_faults, strip_faults
from boardgen.commissioning.radio import radio_changes
from boardgen.commissioning.readings import resistances
from boardgen.commissioning.strip_readings import StripReadings
from boardgen.commissioning.supplies import bench_volts, powered_tests
from boardgen.direct_current.between import resistances_between
from boardgen.direct_current.solve import solve
from boardgen.documents import readings_words
from boardgen.handbook import data_cable
from boardgen.rf.prediction import Prediction
from boardgen.rf.response import predict
from boardgen.sizing.cable import Currents, Loop, ohm_per_m
from tests.commissioning.bench_boards import BOARDS, bench, design


def same(one, other):
    return one == other or math.isclose(one, other, rel_tol=1e-6, abs_tol=1e-9)


@pytest.mark.parametrize("name", BOARDS)
def test_other_antennas_may_stand_for_what_they_leave(name):
    here = bench(name)
    for strip in (s for s in here.request.antennas if s.fitted):
        test = StripReadings(here, strip)
        for state, probes in test.states.items():
            whole = resistances(here, probes, state)
            for short, long in zip(test.ohms[state], whole, strict=True):
                assert same(short.low, long.low)
                assert same(short.middle, long.middle)
                assert same(short.high, long.high)
                # the last bits of three solutions differ
                assert short.low <= short.middle * (1 + 1e-12) <= short.high * (1 + 2e-12)


@pytest.mark.parametrize("name", ["shared rail", "cascaded", "low side"])
def test_quick_readings_of_a_fault_are_those_of_the_whole_board(name):
    """Every fault on the whole board, solved afresh with nothing left out: same resistances, volts and amperes."""
    here = bench(name)
    strip = kinds_of_strip(here)[-1][0]
    test = StripReadings(here, strip)
    for fault in (*strip_faults(here, strip), *board_faults(here)):
        found = {(c.expected.where, c.expected.selection, c.expected.name): c.found for c in test.under(fault)}
        operated = here.netlist.select(strip.label).operated
        for powered, expected in zip(powered_tests(here, strip), test.volts, strict=True):
            solution = solve(_everything(here, powered).changed(fault.change))
            assert solution.converged
            for reading in expected:
                value = powered.values(here, solution)[reading.name][2]
                said = found.get((reading.where, reading.selection, reading.name))
                if said is None:
                    assert not reading.differs(value), (fault, reading)
                else:
                    assert abs(said - value) < 1e-6 + 1e-4 * abs(value), (fault, reading)
            if powered.relays:
                operated = frozenset(r for r in operated if test.pulls_in(r, solution))
        for state, probes in test.states.items():
            network = here.network(state.operated & operated).changed(fault.change)
            ohms = resistances_between(network, tuple((p.a, p.b) for p in probes))
            for reading, ohm in zip(test.ohms[state], ohms, strict=True):
                if reading.by_meter:
                    continue
                said = found.get((reading.where, state, reading.name))
                if said is None:
                    assert not reading.differs(ohm), (fault, reading)
                else:
                    assert same(said, ohm), (fault, reading)


def _through_schottky_ohm(meter, resistor_ohm, part):
    """By bisection of the junction's law in series with the meter and the coil: volts over amperes at the tips."""
    emission, forward = part.figures["emission coefficient"].value, part.figures["forward voltage"].value
    series = part.figures["series resistance"].value if "series resistance" in part.figures else 0.5
    thermal = emission * 1.380649e-23 * 293.15 / 1.602176634e-19
    # the catalogue's forward voltage is that of 10 mA at 25 degC, and falls by 2 mV a kelvin
    saturation = 0.01 / math.expm1((forward + 0.01 - 0.01 * series) / thermal)
    low, high = 0.0, meter.volt / meter.ohm
    for _ in range(200):
        ampere = (low + high) / 2
        volt = thermal * math.log1p(ampere / saturation) + ampere * (series + resistor_ohm)
        low, high = (ampere, high) if meter.volt - ampere * meter.ohm > volt else (low, ampere)
    return meter.volt / low - meter.ohm


def test_a_line_behind_a_diode_reads_by_the_meter_and_by_the_way_round_of_its_tips():
    here = bench("default")
    strip = here.request.antennas[0]
    test = StripReadings(here, strip)
    one, other = (r for r in test.ohms[test.at_rest] if r.name == "select line to 0V")
    diode = next(c for c in here.netlist.of_kind("diode") if c.subject.slot == "series diode")
    coil = here.netlist.component[here.relays[strip.label][0]].part.figures["coil resistance"].value
    by_hand = _through_schottky_ohm(USUAL, coil, diode.part)
    assert one.where.startswith("TB")
    assert " (red) and " in one.where
    assert one.middle == pytest.approx(by_hand, rel=0.02)
    assert coil < one.low < by_hand < one.high < 20e3
    assert other.low > 30e3
    assert (readings_words.expected(one).words, readings_words.expected(other).words[:5]) == (
        "1.1 kohm to 10 kohm",
        "over ",
    )
    shorted, turned, parted = (
        {c.expected.where: c.found for c in test.under(fault)}
        for name in ("short", "turned round", "open, or a dry joint")
        for fault in strip_faults(here, strip)
        if fault.refs == (diode.ref,) and fault.name == name
    )
    # the same both ways; low the wrong way round only; nothing either way
    assert shorted[other.where] == pytest.approx(coil, rel=0.01)
    assert turned[other.where] < 10e3 < turned[one.where]
    assert parted[one.where] > 1e6
    assert other.where not in parted


def _everything(here, powered):
    return replace(powered, only=None).network(here)


def test_a_right_board_has_no_symptom_and_most_faults_have_one():
    here, made = bench("shared rail"), design("shared rail")
    network = Prediction(made.request, made.choices, made.netlist).network
    test = StripReadings(here, here.request.antennas[0])
    found = alike(symptoms(test, strip_faults(here, test.strip), network))
    seen = [s for s in found if s.changes or s.radio]
    assert len(seen) > 0.8 * len(found)
    names = {s.fault.name for s in seen}
    assert {"open, or a dry joint", "short", "turned round", "missing, or no pin soldered"} <= names
    # a contact that does not make is hidden by the windings on both sides of it: only radio tells
    dead = next(s for s in found if "pole A does not make" in s.fault.name)
    assert dead.changes == ()
    assert dead.radio[0].quantity == "insertion loss"
    # the capacitance through an open contact in series with twice 75 ohm: 20 log |1 + 1/(jwC 2 Z0)|
    at_hz = dead.radio[0].at_hz
    (contact_f,) = {r.part.figures["through capacitance"].value for r in here.netlist.of_kind("relay")}
    hand_db = 20 * np.log10(abs(1 + 1 / (2j * np.pi * at_hz * contact_f * 150)))
    assert dead.radio[0].found_db == pytest.approx(hand_db, abs=1.0)


def test_crossed_conductors_pull_the_wrong_relay():
    here = bench("default")
    cable = CableBench(here)
    first, second, *_ = here.request.antennas
    whole = cable.far_end(first, second)
    assert whole.pulled_in
    assert whole.others == ()
    faults = {f.name: cable.far_end(first, second, f.change) for f in cable.faults(first, second)}
    crossed = next(end for name, end in faults.items() if name.endswith(f"{second.label} crossed"))
    assert not crossed.pulled_in
    assert crossed.others == (second.label,)
    swapped = faults[f"select conductor of {first.label} crossed with one 0V conductor"]
    one_ohm, returns = _one_way_ohm(here), here.request.spec.control.returns
    assert returns == 2
    # plus runs down one conductor and back by the other, with no board between; the terminal is half way, reversed
    assert swapped.supply_a == pytest.approx(bench_volts(here) / (2 * one_ohm), rel=0.02)
    assert swapped.terminal_v == pytest.approx(-bench_volts(here) / 2, rel=0.02)
    assert not swapped.pulled_in
    broken = faults["all 0V conductors open"]
    assert not broken.pulled_in
    assert broken.supply_a < 1e-6


def _one_way_ohm(here):
    """One conductor of the cable at 20 degC."""
    control = here.request.spec.control
    return data_cable.at_temperature(ohm_per_m(control.cable), 20.0) * control.length


@pytest.mark.parametrize("name", BOARDS)
def test_every_kind_of_antenna_is_tested_once(name):
    here = bench(name)
    kinds = kinds_of_strip(here)
    assert sorted(s.label for kind in kinds for s in kind) == sorted(s.label for s in here.request.antennas if s.fitted)


def without(made, ref):
    """The board's network at radio frequencies with one part left off."""
    parts = tuple(replace(c, fitted=False) if c.ref == ref else c for c in made.netlist.components)
    return Prediction(made.request, made.choices, replace(made.netlist, components=parts)).network


def test_radio_readings_are_those_of_a_board_without_the_part():
    """Open capacitors and resistors against a network made anew from a netlist that has not got them."""
    here, made = bench("shared rail"), design("shared rail")
    whole = Prediction(made.request, made.choices, made.netlist).network
    strip, band = here.request.antennas[0], made.spec.band
    edges = np.array([band.lowest, band.highest])
    faults = [f for f in strip_faults(here, strip) if f.name.startswith("open") and f.refs[0][0] in "CR"]
    found = radio_changes(here, whole, strip.label, faults, (band.lowest, band.highest))
    assert len(faults) >= 5
    good = _loss(made, whole, strip.label, edges)
    heard = 0
    for fault, changes in zip(faults, found, strict=True):
        bad = _loss(made, without(made, fault.refs[0]), strip.label, edges)
        said = {c.at_hz: c.found_db for c in changes if c.quantity == "insertion loss"}
        for edge, before, after in zip(edges, good, bad, strict=True):
            heard += edge in said
            # beyond 100 dB two ways of leaving a part off differ by what stands for nothing
            near = 0.1 if after < 100 else 2.0
            assert abs(said.get(edge, before) - after) < (near if edge in said else 0.55), (fault, edge)
    assert heard >= 2


def _loss(made, network, label, edges):
    response = predict(made.spec, network, edges)
    return response.by_place["insertion loss", label, label].values


@pytest.mark.parametrize("name", ["default", "cascaded", "jack"])
def test_voltage_at_the_far_end_is_that_of_the_sizing_rule(name):
    """The whole network against the rule's closed formula, V less the diode over 1 + R_loop / R_coil."""
    here = bench(name)
    control = here.request.spec.control
    strip = next(s for s in here.request.antennas if s.feed is None)
    far = CableBench(here).far_end(strip)
    one = ohm_per_m(control.cable)
    relay = here.netlist.component[here.relays[strip.label][0]].part
    coil_ohm = relay.figures["coil resistance"].value / control_coils(here)
    diode = next(c for c in here.netlist.of_kind("diode") if c.subject.slot == "series diode").part
    loop = Loop(one, one / control.returns, 0.0, coil_ohm, diode.figures["forward voltage"].value)
    by_rule = loop.coil_v(round((control.supply.low + control.supply.high) / 2, 1), control.length, Currents(0.0, 0.0))
    assert abs(far.coil_v - by_rule) < 0.05


def control_coils(here):
    return here.request.spec.switching.relays_in_series


def test_a_relay_turned_round_has_its_pins_in_the_opposite_holes():
    """Ten pins in two rows: pin 1 stands in hole 6, where no net is, and the contacts change places."""
    here = bench("default")
    strip = here.request.antennas[0]
    fault = next(f for f in strip_faults(here, strip) if f.name == "turned round by half a turn")
    relay = fault.refs[0]
    pins, pin_nets = here.netlist.component[relay].part.pins, here.netlist.pin_nets[relay]
    assert (pins["coil +"], pins["coil -"], pins["pole A common"], pins["pole B common"]) == ("1", "10", "3", "8")
    change = {element.name: element for element in fault.change}
    assert change[f"{relay} coil"].ohm == math.inf
    # pin 3 in hole 8, pin 2 in hole 7: pole A rests between the nets of pole B's common and its normally open contact
    assert change[f"{relay} A normally closed"].ends == (pin_nets["pole B common"], pin_nets["pole B normally open"])
    test = StripReadings(here, strip)
    found = {c.expected.name: c.found for c in test.under(fault)}
    assert found["supply current, select line"] == pytest.approx(0, abs=1e-5)


def test_neighbouring_pins_are_bridged_and_no_others():
    here = bench("default")
    strip = here.request.antennas[0]
    found = [f for f in strip_faults(here, strip) if f.name.startswith("solder bridge") and f.refs[0][0] == "K"]
    pairs = {tuple(sorted(map(int, (f.name.split()[-3], f.name.split()[-1])))) for f in found}
    # holes 5 and 6 have no net; rows lie 7.62 mm apart
    assert pairs == {(1, 2), (2, 3), (3, 4), (7, 8), (8, 9), (9, 10)}
    assert not [f for f in strip_faults(here, strip) if f.name.startswith("solder bridge") and f.refs[0][0] == "C"]


@pytest.mark.parametrize(("name", "is_heard"), [("default", False), ("linked", True)])
def test_a_short_to_earth_is_heard_on_the_bench_only_where_earth_is_linked_to_0v(name, is_heard):
    here, made = bench(name), design(name)
    network = Prediction(made.request, made.choices, made.netlist).network
    strip = here.request.antennas[0]
    faults = [f for f in strip_faults(here, strip) if f.name.startswith("short from") and f.name.endswith("to earth")]
    assert faults
    found = symptoms(StripReadings(here, strip), faults, network)
    assert any(one.radio for one in found) == is_heard
    assert all(one.changes for one in found)
