"""The sense of winding: words, picture, prediction, layout's cell and footprints follow from one value."""

import math
import re

import pytest

from boardgen.circuit.windings import start_marks
from boardgen.commissioning.diagnosis import symptoms
from boardgen.commissioning.faults import strip_faults
from boardgen.commissioning.strip_readings import StripReadings
from boardgen.commissioning.winding_test import bridge_readings
from boardgen.documents.book.winding_picture import winding_picture
from boardgen.documents.book.windings import _pair
from boardgen.kinds import kind_of
from boardgen.kinds.core import REVERSED, TURN_SHORT
from boardgen.model.transformer import LEADS, PRIMARY, SECONDARY, Lead, same_sense
from boardgen.rf.network import network
from tests.catalogue.shipped import CATALOGUE
from tests.commissioning.bench_boards import bench, design

TURNED = {**LEADS, "secondary start": LEADS["secondary end"], "secondary end": LEADS["secondary start"]}
CORES = [part for part in CATALOGUE.parts.values() if part.kind == "core" and part.footprint]


def way_round(start):
    """Of a turn that starts there, the sense in which it runs round the wall between the holes, by cross product."""
    x, y = start
    return math.copysign(1, -x * y)


def test_both_windings_run_the_same_way_round():
    assert same_sense()
    assert not same_sense(TURNED)
    assert same_sense({"primary start": Lead("port", 1), "secondary start": Lead("port", 1)})


@pytest.mark.parametrize("part", CORES, ids=lambda part: part.key)
def test_pads_lie_where_the_ends_leave(part):
    """Faces lie across y; hole 1 is where pad P1 is. The sense is that of the cross product of place and direction."""
    pads = {p.number: (p.x_nm, p.y_nm) for p in CATALOGUE.footprints[part.footprint].pads}
    at = {role: pads[part.pins[role]] for role in LEADS}
    port_side, hole_1 = (math.copysign(1, coordinate) for coordinate in reversed(at["primary start"]))
    for role, lead in LEADS.items():
        x, y = at[role]
        assert (y * port_side > 0) == (lead.face == "port"), role
        assert (x * hole_1 > 0) == (lead.hole == 1), role
    senses = {way_round(at[roles[0]]) for roles in (PRIMARY, SECONDARY)}
    assert (len(senses) == 1) == same_sense()


def test_the_prediction_couples_starts_of_the_same_sense():
    made = design("default")
    bare = network(made.request, made.choices, made.netlist)
    for element in (e for e in bare.elements if e.law == "transformer"):
        pin_nets = made.netlist.pin_nets[element.ref]
        first, second = (tuple(pin_nets[role] for role in roles) for roles in (PRIMARY, SECONDARY))
        assert element.pairs[0][0] == first[0]
        assert element.pairs[1][0] == (second[0] if same_sense() else second[1])


@pytest.mark.parametrize(("style", "leads"), [("apart", LEADS), ("apart", TURNED), ("pair", LEADS)])
def test_the_picture_has_every_end_at_its_face_and_hole(style, leads):
    svg = winding_picture(3, 4, style, leads)
    found = dict(reversed(one) for one in re.findall(r'<text x="([^>]*?)>([PS][12] (?:start|end))<', svg))
    assert len(found) == 4
    for role, lead in leads.items():
        letter, end = ("P" if role in PRIMARY else "S"), role.split()[1]
        words = f"{letter}{1 if end == 'start' else 2} {end}"
        x, y = (float(n) for n in re.match(r'([-\d.]+)" y="([-\d.]+)', found[words]).groups())
        assert (x < 60) == (lead.face == "port"), words
        assert (y < 42) == (lead.hole == 1), words


def test_the_words_say_the_same():
    words = start_marks()
    for pad, role in (("P1", "primary start"), ("S1", "secondary start")):
        lead = LEADS[role]
        assert re.search(rf"{pad} starts .*?hole {lead.hole} from the {lead.face}'s face", words)
    assert "the same way round" in words
    assert "opposite ways round" in start_marks(TURNED)
    assembly = kind_of(CORES[0]).assembly
    assert {role for role, _ in assembly.starts} == {PRIMARY[0], SECONDARY[0]}


@pytest.mark.parametrize(
    ("turns", "together", "alone"), [((12, 12), 23, 1), ((2, 3), 3, 3), ((3, 2), 4, 1), ((1, 1), 1, 1)]
)
def test_a_pair_makes_as_many_passes_as_its_turns_want(turns, together, alone):
    """The port wire makes its first pass alone, the board wire joins at the second: two passes a turn for each."""
    first, second, third = _pair(*turns)
    said = [int(re.search(r"for (\d+) pass", words)[1]) for words in (second, third)]
    assert said == [together, alone]
    longer_is_board = "the board wire goes on" in third
    port, board = 1 + together, together
    port, board = (port, board + alone) if longer_is_board else (port + alone, board)
    assert (port, board) == (2 * turns[0], 2 * turns[1])
    assert "once alone" in first


def test_a_bridge_shows_four_times_in_series_and_next_to_nothing_when_one_is_reversed():
    made = design("default")
    core = next(c for c in made.netlist.of_kind("core") if c.fitted)
    found = bridge_readings(made.request, made.choices, core)
    by_name = {(one.name, one.connection): one for one in found}
    port, series = by_name["port winding", ""], by_name["both in series", ""]
    turns = made.choices.choice("port turns", core.subject).chosen
    factor = core.part.figures["inductance factor"].value
    assert port.figure.value == pytest.approx(factor * turns**2)
    assert port.figure.most >= 1.25 * port.figure.value
    assert port.figure.least <= 0.75 * port.figure.value
    assert series.figure.value == pytest.approx(4 * port.figure.value)
    mistake, reversed_h = series.mistake
    assert mistake == REVERSED
    assert reversed_h < 0.01 * series.figure.value
    ratio = by_name["port winding over board winding", ""]
    assert ratio.figure.value == 1
    assert ratio.mistake == (TURN_SHORT, pytest.approx(((turns - 1) / turns) ** 2))
    assert (series.tips, series.joined) == ((PRIMARY[0], SECONDARY[1]), ((PRIMARY[1], SECONDARY[0]),))


def test_a_bridge_shows_the_coil_of_a_lossy_core_smaller_in_series_than_in_parallel():
    """By hand from mu' and mu'' of the table: L_s = mu0 S N^2 mu', L_p = L_s (1 + (mu''/mu')^2)."""
    made = design("default")
    core = next(c for c in made.netlist.of_kind("core") if c.fitted)
    turns = made.choices.choice("port turns", core.subject).chosen
    mu = made.request.catalogue.permeability[core.part.attributes["material"]].at(1.8e6)
    air_h = 4e-7 * math.pi * core.part.figures["path constant"].value * turns**2
    found = {one.connection: one.figure.value for one in bridge_readings(made.request, made.choices, core)}
    assert found["series"] == pytest.approx(air_h * mu.real)
    assert found["parallel"] == pytest.approx(air_h * mu.real * (1 + (mu.imag / mu.real) ** 2))


def test_a_reversed_winding_lets_common_mode_pass_and_nothing_else_tells():
    here, made = bench("default"), design("default")
    bare = network(made.request, made.choices, made.netlist)
    strip = here.request.antennas[0]
    faults = [fault for fault in strip_faults(here, strip) if fault.mistake == REVERSED]
    (symptom,) = symptoms(StripReadings(here, strip), faults, bare)
    assert symptom.changes == ()
    assert {change.quantity for change in symptom.radio} == {"mode conversion"}
    assert min(change.expected_db - change.found_db for change in symptom.radio) > 5
