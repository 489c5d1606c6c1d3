"""What the user measured of a wound core decides size, prediction and sheet of that core, and of no other."""

import pytest

from boardgen.circuit.windings import winding_rows
from boardgen.commissioning.winding_test import bridge_readings
from boardgen.design import make_design
from boardgen.handbook.two_hole_winding import Hole, Winding, capacitance, leakage, least_product_s2
from boardgen.model.choice import Subject
from boardgen.model.problem import InputError
from boardgen.request import Request
from boardgen.sizing.size import size
from boardgen.spec.load import read_text
from boardgen.stages.braid_breaker import PORT_END
from tests.rf.rf_boards import BOARDS, catalogue, text

PINNED = '[parts]\ncore = "core-73-202"\n[measured.transformer]\nturns = "4:4"\n'


def request(own):
    """The default board with that below its keys."""
    return Request(read_text(BOARDS["default"] + own), catalogue())


def sized(own):
    """Its choices, and how its first transformer is wound."""
    choices = size(request(own))
    return choices, next(iter(choices.windings.values()))


def test_leakage_and_capacitance_are_taken():
    """Also by the capacitors that meet the leakage, and by the reason."""
    before, plain = sized("")
    own = PINNED + 'leakage = "400 nH"\ninterwinding_capacitance = "3..5 pF"\n'
    choices, wound = sized(own)
    assert (wound.leakage.value, wound.leakage.standing) == (400e-9, "measured")
    assert wound.leakage.low == pytest.approx(360e-9)
    assert (wound.interwinding.low, wound.interwinding.value, wound.interwinding.high) == (3e-12, 4e-12, 5e-12)
    subject = next(iter(choices.windings))
    end = Subject(subject.strip, subject.stage, PORT_END)
    assert (
        choices.choice("compensation capacitor", end).required
        > 1.1 * before.choice("compensation capacitor", end).required
    )
    leak = choices.choice("leakage reactance", subject)
    assert leak.standing == "measured"
    assert leak.achieved == pytest.approx(2 * 3.14159265 * 10.15e6 * 400e-9)
    assert plain.leakage.standing == "computed"


def test_they_are_carried_over_to_other_turns():
    """By the ratio of the fields: close to the square of the turns where windings lie apart."""
    own = PINNED.replace("4:4", "3:3") + 'leakage = "180 nH"\n'
    _, wound = sized(own)
    assert wound.leakage.standing == "computed"
    assert "3:3" in wound.leakage.source
    assert wound.leakage.value == pytest.approx(180e-9 * (4 / 3) ** 2, rel=0.2)


def test_inductance_is_that_of_the_core():
    """Half of the catalogue's least takes more turns; the sheet expects what was read, and spreads no further."""
    first = make_design(request(PINNED + 'port_winding_inductance = "40 uH"\n'))
    component = next(c for c in first.netlist.of_kind("core"))
    turns = first.choices.choice("turns", component.subject).chosen
    assert turns > sized("")[0].choice("turns", component.subject).chosen
    reading = bridge_readings(first.request, first.choices, component)[0]
    assert reading.figure.value == pytest.approx(40e-6 * turns**2 / 16)
    assert reading.figure.least == pytest.approx(0.9 * reading.figure.value)
    core = {p.name: p for e in first.prediction.network.elements if e.ref == component.ref for p in e.parameters}
    assert core["permeability scale"].low == core["permeability scale"].high == 1
    assert core["path constant"].high == pytest.approx(1.1 * core["path constant"].value)


def test_faster_than_light_is_refused():
    with pytest.raises(InputError) as caught:
        size(request(PINNED + 'leakage = "20 nH"\ninterwinding_capacitance = "1 pF"\n'))
    problem = caught.value.problems[0]
    assert problem.place.key == "measured.transformer.leakage"
    assert "faster than light" in problem.found


@pytest.mark.parametrize(("turns", "style"), [(3, "apart"), (8, "apart"), (4, "pair"), (8, "pair")])
def test_what_is_computed_is_slower_than_light(turns, style):
    """And no slower than in a hole that is all enamel and wall."""
    wound = Winding(Hole(14.35e-3, 3.55e-3, 5.72e-3), turns, turns, 0.404e-3, 0.444e-3, style)
    product = leakage(wound).henry.low * capacitance(wound).low
    assert 1 < product / least_product_s2(wound.hole, turns) < 12


@pytest.mark.parametrize(
    ("own", "key", "found"),
    [
        ('leakage = "40 nH"\n', "measured.transformer.leakage", "is far from"),
        ('interwinding_capacitance = "30 pF"\n', "measured.transformer.interwinding_capacitance", "is far from"),
        ('style = "pair"\nleakage = "100 nH"\n', "measured.transformer", "the rules take windings apart"),
    ],
)
def test_doubtful_ones_are_told(own, key, found):
    """What is far off is taken all the same; what no winding is like is not."""
    problems = sized(PINNED + own)[0].problems
    assert [(p.place.key, found in p.found, p.severity) for p in problems] == [(key, True, "warning")]


@pytest.mark.parametrize(("times", "is_told"), [(1.49, False), (1.51, True)])
def test_half_as_much_again_as_the_range_is_told(times, is_told):
    nano = times * sized("")[1].leakage.high * 1e9
    assert bool(sized(f'{PINNED}leakage = "{nano:.6g} nH"\n')[0].problems) == is_told


def test_each_reading_with_a_key_is_a_key_of_the_specification():
    design = make_design(request(""))
    component = next(c for c in design.netlist.of_kind("core"))
    keys = {one.key for one in bridge_readings(design.request, design.choices, component) if one.key}
    measured = type(design.request.spec.measured.transformer).model_fields
    assert keys == set(measured) - {"turns", "style"}


def test_the_least_inductance_to_wind_for_is_that_of_the_bridge():
    """One figure in the workbook and in the book: the material's spread, or the maker's least where that is lower."""
    board = make_design(Request(read_text(text(["", ""])), catalogue()))
    (row,) = winding_rows(board.netlist, board.choices, board.catalogue.permeability)
    core = next(c for c in board.netlist.of_kind("core"))
    reading = bridge_readings(board.request, board.choices, core)[0]
    assert row.inductance_h == reading.figure.least
