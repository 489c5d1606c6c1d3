"""Windings and chokes against arithmetic of our own, over boards that differ in everything."""

import math

import pytest

from boardgen.model.choice import Subject
from tests.sizing import own_arithmetic as own
from tests.sizing.sized_boards import (
    ARRANGEMENTS,
    BANDS,
    CABLES,
    IMPEDANCES,
    LINES,
    catalogue,
    sized,
    text,
    wide_variety,
)

BOARDS = wide_variety()
CLOSE = 1e-3


@pytest.fixture(params=range(len(BOARDS)), scope="module")
def board(request):
    return sized(BOARDS[request.param])


def test_the_boards_differ_in_everything():
    """Every value of every option occurs, and every arrangement meets every kind of line."""
    assert len(BOARDS) >= 40
    assert len(set(BOARDS)) == len(BOARDS)
    asked = [sized(board)[0].spec for board in BOARDS]
    assert {(s.switching.feed_arrangement, s.switching.feed_lines) for s in asked} == {
        (a, b) for a in ARRANGEMENTS for b in LINES
    }
    assert {s.control.cable.text for s in asked} == set(CABLES)
    assert {(s.band.impedance, s.control.drive) for s in asked} == {
        (float(a), b) for a in IMPEDANCES for b in ("high side", "low side")
    }
    assert len({(s.band.lowest, s.band.highest) for s in asked}) == len(BANDS)
    assert len({(s.switching.relays_in_series, s.protection.surge, s.protection.reverse) for s in asked}) == 8
    assert len({(s.control.length, s.control.returns) for s in asked}) == 20


def near(number):
    return pytest.approx(number, rel=CLOSE)


def band(request):
    return request.spec.band.lowest, request.spec.band.highest


def breakers(request):
    return [(s, Subject(s.label, "braid breaker", "transformer")) for s in request.strips if s.braid_breaker]


def test_windings(board):
    """Turns, reactance and loss of the smallest core allowed, at every point of its table in the band."""
    request, choices = board
    inner = request.spec.band.impedance
    for strip, subject in breakers(request):
        core = choices.part("turns", subject)
        table = catalogue().permeability[core.attributes["material"]]
        points = own.inside(table, *band(request))
        resistance_1, reactance_1 = own.winding_worst(core, table, 1, points)
        turns = choices.choice("turns", subject)
        for role, ohm in (("turns", inner), ("port turns", strip.impedance)):
            side = choices.choice(role, subject)
            assert side.required == near(math.sqrt(max(12 * ohm / reactance_1, 15 * ohm / resistance_1)))
            assert side.achieved == side.chosen == int(side.chosen)
            if strip.impedance == inner:
                assert side.chosen == min(30, math.ceil(side.required))
        resistance, reactance = own.winding_worst(core, table, int(turns.chosen), points)
        assert choices.choice("winding reactance", subject).achieved == near(reactance)
        assert choices.choice("winding reactance", subject).required == near(12 * inner)
        assert choices.choice("winding loss resistance", subject).achieved == near(resistance)
        assert choices.choice("winding loss resistance", subject).required == near(15 * inner)
        henry = own.MU0 * table.initial * own.lowest(core, "path constant") * turns.chosen**2
        assert choices.choice("winding inductance", subject).achieved == near(henry)
        assert choices.choice("winding inductance", subject).required == near(
            5 * inner / (2 * math.pi * band(request)[0])
        )


def test_nothing_is_worse_between_the_points(board):
    """Between two points of the table a winding is no worse than at the worst point."""
    request, choices = board
    for _, subject in breakers(request):
        core = choices.part("turns", subject)
        turns = int(choices.choice("turns", subject).chosen)
        table = catalogue().permeability[core.attributes["material"]]
        resistance, reactance = own.winding_worst(core, table, turns, own.spaced(*band(request), 301))
        assert resistance > 0.999 * choices.choice("winding loss resistance", subject).achieved
        assert reactance > 0.999 * choices.choice("winding reactance", subject).achieved


def test_leakage_ratio_and_wire(board):
    request, choices = board
    inner, highest_hz = request.spec.band.impedance, band(request)[1]
    for strip, subject in breakers(request):
        core, wire = choices.part("turns", subject), choices.part("winding wire", subject)
        turns, port_turns = (int(choices.choice(role, subject).chosen) for role in ("turns", "port turns"))
        leak = choices.choice("leakage reactance", subject)
        wound = choices.windings[subject]
        rough_h = own.apart_leakage_h(core, turns) if wound.style == "apart" else own.pair_leakage_h(core, turns, wire)
        assert 0.5 * rough_h < wound.leakage.value < 2 * rough_h
        assert wound.leakage.low < wound.leakage.value < wound.leakage.high
        assert leak.achieved == near(2 * math.pi * highest_hz * wound.leakage.value)
        assert leak.required == near(inner * (0.8 if wound.compensated else 0.1))
        gauge = choices.choice("winding wire", subject)
        assert gauge.required == near(own.thickest_wire_m(core, turns + port_turns))
        assert gauge.achieved == near(own.value(wire, "insulated diameter"))
        for slot, count in (("board winding", turns), ("port winding", port_turns)):
            length = choices.choice("wire length", Subject(strip.label, "braid breaker", slot))
            assert length.achieved == near(count * own.mean_turn_m(core) + 2 * own.LEAD_M)
        if strip.impedance != inner:
            ratio = choices.choice("ratio return loss", subject)
            assert ratio.required == 30
            assert ratio.achieved == near(own.return_loss_db(turns, port_turns, inner, strip.impedance))


def test_chokes(board):
    """Both ends of the tolerance, on a grid of our own; the impedance is that of the port, where the choke stands."""
    request, choices = board
    lowest_hz, highest_hz = band(request)
    at_port = {s.label: s.impedance for s in request.strips}
    for value in (c for c in choices.values if c.role == "choke" and c.subject.slot != "bifilar choke"):
        part, ohm = choices.parts[value.part], at_port[value.subject.strip]
        angular = 2 * math.pi * lowest_hz
        assert value.required == near(15 * ohm / angular)
        assert value.achieved == near(own.least_over(own.choke_ohm, part, [lowest_hz]) / angular)
        over = choices.choice("choke impedance", value.subject)
        assert over.required == near(8 * ohm)
        assert over.achieved == near(own.least_over(own.choke_ohm, part, own.spaced(lowest_hz, highest_hz)))


def test_common_mode(board):
    """As far up as the target reaches; half of one choke where two lie side by side."""
    request, choices = board
    lowest_hz, highest_hz = band(request)
    target = request.spec.targets.common_mode
    top_hz = min(target.to_hz or highest_hz, highest_hz)
    values = [c for c in choices.values if c.role == "common-mode impedance"]
    if top_hz < lowest_hz:
        assert not values
    for value in values:
        part = choices.parts[value.part]
        single = value.subject.slot != "bifilar choke"
        impedance = own.choke_ohm if single else own.bifilar_ohm
        least = own.least_over(impedance, part, own.spaced(lowest_hz, top_hz))
        assert value.achieved == near(least / 2 if single else least)
        assert value.required == target.value
    for value in (c for c in choices.values if c.role == "choke" and c.subject.slot == "bifilar choke"):
        reach_hz = max(top_hz, lowest_hz)
        least = own.least_over(own.bifilar_ohm, choices.parts[value.part], own.spaced(lowest_hz, reach_hz))
        ohm = next(s.impedance for s in request.strips if s.label == value.subject.strip)
        assert value.achieved / value.required == near(least / (15 * ohm))


def test_a_choke_whose_quality_is_not_known():
    """Taken as 30: near its self resonance of 1.8 MHz that is what limits it."""
    parts = {"choke": "choke-7447462102"}
    assert "quality" not in catalogue().parts[parts["choke"]].figures
    _, choices = sized(text("1.7 MHz", "1.9 MHz", ports={0: {"feed": "12 V 60 mA"}}, parts=parts))
    value = choices.choice("choke impedance", Subject("antenna 1", "feed", "centre choke"))
    part = choices.parts[value.part]
    assert value.achieved == near(own.least_over(own.choke_ohm, part, own.spaced(1.7e6, 1.9e6)))


@pytest.mark.parametrize(("impedance", "turns"), [(75, 4), (50, 3), (93, 4), (300, 8)])
def test_turns_on_the_202_size(impedance, turns):
    """By hand: X_p of a turn is 74.9 ohm and R_p 90.7 ohm at 1.8 MHz with mu = 1542 - j 1273."""
    _, choices = sized(text("1.8 MHz", "2 MHz", impedance, parts={"core": "core-73-202", "output_core": "core-73-202"}))
    turn_ohm = 2 * math.pi * 1.8e6 * own.MU0 * 2.037e-3
    admittance = 1 / (1j * turn_ohm * complex(1542, -1273))
    by_hand = math.sqrt(max(12 * impedance * abs(admittance.imag), 15 * impedance * admittance.real))
    value = choices.choice("turns", Subject("antenna 1", "braid breaker", "transformer"))
    assert value.required == pytest.approx(by_hand, rel=0.05)
    assert value.chosen == turns
