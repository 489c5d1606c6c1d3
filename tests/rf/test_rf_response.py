"""What the prediction says of a board, against formulas worked by hand and against itself with a part changed."""

import math

import numpy as np
import pytest
from msgspec.structs import replace

from boardgen.circuit.rules.direct_current import nothing_floats
from boardgen.design import make_design
from boardgen.handbook import reactance
from boardgen.request import Request
from boardgen.rf.feed_path import feed_paths
from boardgen.rf.judge import judge
from boardgen.rf.network import network
from boardgen.rf.response import predict
from boardgen.rf.sensitivity import limits
from boardgen.rf.tolerance import tolerance
from boardgen.spec.load import read_text
from tests.evidence import loss
from tests.rf.rf_boards import BOARDS, FED, catalogue, design, made, text, wires_ohm


def board(*args, common_mode_ohm=None, **kwargs):
    """Design and network of a specification made of these lines."""
    found = make_design(Request(read_text(text(*args, **kwargs)), catalogue()))
    return found, network(found.request, found.choices, found.netlist, common_mode_ohm)


def figure(pair, quantity, frequency_hz, port=None):
    """The figure with the first antenna selected; an idle quantity is read at the second."""
    found, solved = pair
    response = predict(found.spec, solved, np.array([frequency_hz]))
    selected, *idle = solved.antennas
    idle_read = quantity in ("isolation", "idle common mode")
    return float(response.by_place[quantity, selected, port or (idle[0] if idle_read else selected)].values[0])


THROUGH_F = 0.112e-12
"""As parts/relays.toml has it of the relay that is taken."""
DEFAULT = (design("default"), made("default"))


@pytest.mark.parametrize("frequency_hz", [1.8e6, 3.5e6])
def test_isolation_by_hand(frequency_hz):
    """An idle antenna against the loaded bus, two contacts in the loop: -20 log(w C Z0/2), terminated 6 dB more.

    By hand the idle pair hangs in the middle, so its braid must float here, and no transformer stands behind it.
    """
    by_hand = -20 * math.log10(2 * math.pi * frequency_hz * THROUGH_F * 75 / 2)
    opened = board(["", "", "", ""], 'braid_breakers = "none"\nidle = "open"', common_mode_ohm=1e6)
    ended = board(["", "", "", ""], 'braid_breakers = "none"', common_mode_ohm=1e6)
    assert figure(opened, "isolation", frequency_hz) == pytest.approx(by_hand, abs=0.2)
    assert figure(ended, "isolation", frequency_hz) == pytest.approx(by_hand + 6, abs=1)


def test_terminating_idle_antennas_gains():
    """Braids at 0V make it more: an open idle centre then stands at the whole voltage."""
    opened = board(["", "", "", ""], 'idle = "open"')
    assert 5 < figure(DEFAULT, "isolation", 1.8e6) - figure(opened, "isolation", 1.8e6) < 12


def test_transformer_loss_by_hand():
    """4.34 Z0/R_p for each transformer, R_p from the winding's own choice, and its four windings' wire; no copper."""
    frequency_hz = 1.8e6
    table = catalogue().permeability["73"]
    z = 2j * math.pi * frequency_hz * 4e-7 * math.pi * 2.637e-3 * 16 * table.at(frequency_hz)
    parallel_ohm = abs(z) ** 2 / z.real
    contacts_db = 2 * 4.34 * 0.08 / 75
    by_hand = 2 * 4.34 * 75 / parallel_ohm + contacts_db + 4.34 * wires_ohm(DEFAULT[0], frequency_hz) / 75
    assert figure(DEFAULT, "insertion loss", frequency_hz) == pytest.approx(by_hand, rel=0.05)
    exact = 2 * loss.shunt_insertion_loss_db(z, 75)
    assert figure(DEFAULT, "insertion loss", frequency_hz) == pytest.approx(exact, rel=0.12)


def test_two_relays_beat_one():
    """Isolation of a cascade is more than twice as many decibels."""
    assert figure((design("cascaded"), made("cascaded")), "isolation", 3.5e6) > 2 * figure(DEFAULT, "isolation", 3.5e6)


def test_plain_feed_spoils_the_braid_breaker():
    """Its common-mode impedance is half its chokes' reactance; the other two arrangements repair it."""
    found, solved = board([FED, ""], 'feed_arrangement = "plain"')
    impedance = figure((found, solved), "common-mode impedance", 1.8e6)
    part = next(c.part for c in found.netlist.of_kind("choke"))
    henry, resonance = part.figures["inductance"].value, part.figures["self resonance"].value
    reactance = 2 * math.pi * 1.8e6 * henry / (1 - (1.8e6 / resonance) ** 2)
    assert impedance == pytest.approx(reactance / 2, rel=0.2)
    for arrangement in ("local rail", "common-mode choked"):
        better = board([FED, ""], f'feed_arrangement = "{arrangement}"')
        assert figure(better, "common-mode impedance", 1.8e6) > 2 * impedance


def test_local_rail_converts_less():
    """The choke from the centre to the supply turns common mode into signal; a rail on the braid does not."""
    plain, rail = (board([FED, ""], f'feed_arrangement = "{a}"') for a in ("plain", "local rail"))
    assert figure(rail, "mode conversion", 1.8e6) > figure(plain, "mode conversion", 1.8e6) + 15


def test_top_of_the_band_is_capacitance():
    """Common-mode impedance there is 1/(w C) of what lies between braid and the rest."""
    _, solved = DEFAULT
    farads = sum(
        p.value
        for e in solved.elements
        for p in e.parameters
        if (e.ref == "T1" and p.name == "interwinding capacitance" and e.law == "starts")
        or (e.ref == "E1" and p.name == "capacitance")
    )
    by_hand = reactance.capacitive(10e6, farads)
    assert figure(DEFAULT, "common-mode impedance", 10e6) == pytest.approx(by_hand, rel=0.05)


def test_lower_band_with_the_same_winding_loses_more():
    """The winding of the higher band, pinned by nothing but its turns, has less R_p further down."""
    assert figure(DEFAULT, "return loss", 0.9e6) < figure(DEFAULT, "return loss", 1.8e6) - 3


def test_split_is_a_range():
    """Mode conversion depends on it and says so; the loss does not."""
    found, solved = DEFAULT
    response = predict(found.spec, solved)
    assert all(c.split_matters for c in response.of("mode conversion"))
    assert not any(c.split_matters for c in response.of("insertion loss"))
    for curve in response.curves:
        assert (curve.low <= curve.values).all()
        assert (curve.values <= curve.high).all()


def test_default_targets_hold():
    """On the default board, each at a frequency of the band and with a name of the board."""
    found, solved = DEFAULT
    for judged in judge(found.spec, predict(found.spec, solved)):
        assert judged.state == "met"
        assert judged.margin >= 1
        assert judged.at_hz is None or 1.8e6 <= judged.at_hz <= 10.15e6


def test_what_limits_isolation_is_the_open_contact():
    """And the remedy is a smaller one, by the factor that is missing."""
    spec = BOARDS["default"] + '[targets]\nisolation = "83 dB"\n'
    found = make_design(Request(read_text(spec), catalogue()))
    judged = next(j for j in judge(found.spec, predict(found.spec, made("default"))) if j.target == "isolation")
    assert judged.state == "falls short"
    assert judged.holds_to_hz < 7e6
    (limit,) = limits(found.spec, made("default"), [judged])
    assert limit.influences[0].name == "through capacitance"
    missing = 10 ** ((judged.achieved - 83) / 20)
    remedy = next(r for r in limit.remedies if r.name == "through capacitance")
    assert remedy.factor == pytest.approx(missing, rel=0.12)


@pytest.mark.parametrize("board", ["plain feed", "default", "low band"])
def test_a_remedy_holds_in_the_whole_band_and_is_less_of_a_stray(board):
    """Each is put into the network and judged again; at the worst frequency alone many would do that fail elsewhere."""
    ways = 'common_mode = "20 kohm"\ninsertion_loss = "0.15 dB"\nisolation = "88 dB"\n'
    found = make_design(Request(read_text(BOARDS[board] + "[targets]\n" + ways), catalogue()))
    proposed = 0
    for limit in found.prediction.limits:
        for remedy in limit.remedies:
            proposed += 1
            elements = tuple(
                replace(
                    element,
                    parameters=tuple(
                        replace(p, value=p.value * remedy.factor)
                        if element.ref in remedy.refs and p.shown == remedy.name and element.law in same_law(remedy.law)
                        else p
                        for p in element.parameters
                    ),
                )
                for element in found.prediction.network.elements
            )
            response = predict(found.spec, replace(found.prediction.network, elements=elements))
            again = next(j for j in judge(found.spec, response) if j.target == limit.judged.target)
            assert again.state == "met", remedy
            assert remedy.factor < 1
    assert proposed


def same_law(law):
    """A transformer's capacitance is two elements."""
    return {"starts", "ends"} if law == "interwinding" else {law}


def test_target_below_the_band_is_not_judged():
    """A limit under the lowest frequency judges nothing: the default of a band that begins above it."""
    found = make_design(Request(read_text(text(["", ""], band='lowest = "7 MHz"\nhighest = "10 MHz"')), catalogue()))
    judged = judge(found.spec, predict(found.spec, found.prediction.network))
    assert next(j for j in judged if j.target == "common_mode").state == "not judged"


def test_boards_are_drawn_the_same_every_time():
    """And more of them spread around the nominal board."""
    found, solved = DEFAULT
    first, second = (tolerance(found.spec, solved, 30) for _ in range(2))
    assert [y.worst for y in first.yields] == [y.worst for y in second.yields]
    for band in first.bands:
        assert (band.low <= band.middle).all()
        assert (band.middle <= band.high).all()
    loose = tolerance(found.spec, solved, 30, strays=True)
    assert loose.together <= first.together


def test_feed_resistance_and_islands():
    """Fuse and chokes in series, and nothing that floats."""
    found = design("common-mode choked")
    path = feed_paths(found.request, found.netlist)[0]
    parts = [found.netlist.component[ref].part for ref in path.parts]
    assert {p.kind for p in parts} == {"fuse", "choke", "bifilar choke"}
    bifilar = next(p for p in parts if p.kind == "bifilar choke")
    others = sum(
        p.figures["resistance" if p.kind == "fuse" else "dc resistance"].value for p in parts if p is not bifilar
    )
    assert path.ohm == pytest.approx(others + 2 * bifilar.figures["dc resistance"].value)
    assert path.drop_v == pytest.approx(0.06 * path.ohm)
    for name in BOARDS:
        assert list(nothing_floats(design(name).request, design(name).netlist)) == []


def test_a_port_at_rest_is_not_called_selected():
    from boardgen.documents.response import edge_rows
    from boardgen.rf.target_report import falls_short

    spec = BOARDS["four at changeovers"] + '[targets]\nisolation = "83 dB"\n'
    prediction = make_design(Request(read_text(spec), catalogue())).prediction
    places = {row[-2] for row in edge_rows(prediction)}
    assert not any(place.startswith("way 1 selected") for place in places)
    short = next(limit for limit in prediction.limits if limit.judged.state == "falls short")
    assert 'with "way 3" selected' in falls_short(short, prediction.netlist)
    resting = replace(short, judged=replace(short.judged, selected="way 1", at_rest=True))
    assert 'with "way 1" at rest' in falls_short(resting, prediction.netlist)


def test_isolation_with_one_relay_and_two_stands_beside_each_other():
    """Each as that board is predicted by itself before layout; a board with a rest has one relay alone."""
    one = design("default").prediction
    twice = make_design(Request(read_text(text([""] * 4, "relays_in_series = 2")), catalogue())).prediction
    worst = [next(j.achieved for j in p.judged if j.quantity == "isolation") for p in (one, twice)]
    wanted = dict(enumerate(worst, 1))
    assert one.isolation_by_relays == twice.isolation_by_relays == pytest.approx(wanted)
    assert wanted[2] > wanted[1] + 20
    assert design("two at a changeover").prediction.isolation_by_relays == {}
