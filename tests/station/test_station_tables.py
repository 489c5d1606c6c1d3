"""Switch wiring, conductors, paths and a selector's own board, each against what is known otherwise."""

from functools import cache

import pytest

from boardgen.design import make_design
from boardgen.documents.station import summary
from boardgen.request import Request
from boardgen.rf.receive_path import path_points
from boardgen.sizing.cable_places import places
from boardgen.spec.load import read_text
from boardgen.station.assemble import with_board
from boardgen.station.board_network import Board
from boardgen.station.budget import Path, board_losses, paths
from boardgen.station.conductors import RETURN, Line, assign
from boardgen.station.manual_switch import contacts
from boardgen.station.network import Station
from boardgen.station.proof import sound_readings
from boardgen.station.states import cases
from boardgen.station.wanted import Load
from tests.station.made_stations import box_design, box_text, catalogue, station
from tests.station.test_station_proof import NOMINAL, SHORT, two_of_four


def test_a_switch_of_two_poles():
    """Pole 1 works the relays of the boxes, pole 2 the feeder: its positions are joined, and there is no diode."""
    design = two_of_four(source={"kind": "manual switch", "outputs": 9, "poles": 2})
    found = contacts(design.station.steering)
    assert [(c.position, c.pole) for c in found] == [
        *((n, 1) for n in range(1, 5)),
        *((n, pole) for n in range(5, 9) for pole in (1, 2)),
    ]
    feeder = [c for c in found if c.pole == 2]
    assert [c.bridged for c in feeder] == [0, 5, 5, 5]
    assert not any(j.diode for c in found for j in c.joints)


def test_a_switch_of_one_pole_has_a_diode_at_each_position_of_the_other_box():
    design = two_of_four(source={"kind": "manual switch", "outputs": 9})
    found = contacts(design.station.steering)
    assert [sum(j.diode for j in c.joints) for c in found] == [0, 0, 0, 0, 1, 1, 1, 1]


LINES = [Line("select a", "a", (), group="a"), Line("feed a", "fa", (), group="a"), Line("select b", "b", ())]


def test_pairs_are_kept_together():
    """A feed beside its antenna's line, both returns on the last pair: T568B colours of the standard's table."""
    made = assign(LINES, 2, places(8, 1, "T568B"))
    by_what = {}
    for c in made:
        by_what.setdefault(c.what, []).append((c.place.position, c.place.colour))
    # the standard's own numbers of the pairs
    assert {(c.place.position, c.place.pair) for c in made} == {
        (1, 2), (2, 2), (3, 3), (4, 1), (5, 1), (6, 3), (7, 4), (8, 4)
    }  # fmt: skip
    assert by_what["select a"] + by_what["feed a"] == [(1, "white/orange"), (2, "orange")]
    assert by_what[RETURN] == [(7, "white/brown"), (8, "brown")]
    assert by_what["select b"] == [(3, "white/green")]
    assert len(by_what["spare"]) == 3


@pytest.mark.parametrize(("conductors", "cables", "returns"), [(8, 1, 5), (5, 1, 2), (4, 2, 2), (8, 2, 13), (25, 1, 1)])
def test_every_conductor_is_told_once(conductors, cables, returns):
    free = places(conductors, cables, "T568A")
    made = assign(LINES, returns, free)
    assert sorted(c.place for c in made) == sorted(free)
    assert sum(c.is_return for c in made) == returns
    assert {line.what for line in LINES} <= {c.what for c in made}


def test_too_few_conductors():
    with pytest.raises(ValueError, match="3 lines and 2 returns need 5 conductors, not 4"):
        assign(LINES, 2, places(4, 1, "T568B"))


def test_the_path_is_that_of_a_single_board():
    """With the same feeder the worst direction at each frequency is what a board alone tells of its system."""
    text = '[band]\nlowest = "1.8 MHz"\nhighest = "10.15 MHz"\n' + "".join(
        f'[[antenna]]\nlabel = "way {n}"\n' for n in (1, 2, 3)
    )
    feeder = '[feeder]\ncable = "RG-6 copper centre"\nlength = "200 m"\nantenna_gain = "-25 dB"\n'
    design = make_design(Request(read_text(text + feeder, "box.toml"), catalogue()))
    plan = station([("dune", box_design(3), SHORT)], [(f"d{n}", f"dune/way {n}", None) for n in (1, 2, 3)]).plan
    response = design.prediction.response
    found = paths(plan, {"dune": design.spec}, {"dune": board_losses(response)})
    told = path_points(design.spec, response)
    assert len(told) >= 4
    for n, point in enumerate(told):
        mine = max((p.points[n] for p in found), key=lambda p: p.loss_db("board"))
        assert mine.frequency_hz == point.frequency_hz
        assert mine.whole_db == pytest.approx(point.whole_db)
        assert mine.rise_db == pytest.approx(point.rise_db)
        assert mine.external_db == pytest.approx(point.external_db)
    assert all(p.sentence.startswith(p.direction) for p in found)


def test_the_path_of_a_pair_is_that_of_the_worse_antenna_and_says_what_is_not_in_it():
    feeder = '[feeder]\ncable = "RG-6 copper centre"\nlength = "200 m"\n'
    spec = read_text(box_text(2) + feeder, "box.toml")
    plan = station(
        [("dune", box_design(2), SHORT)], [("one", "dune/way 1", None)], pairs=[("both", "dune/way 1", "dune/way 2")]
    ).plan
    losses = {"dune": {"way 1": ((1.8e6, 0.5),), "way 2": ((1.8e6, 3.0),)}}
    one, both = paths(plan, {"dune": spec}, losses)
    assert (one.antenna, both.antenna) == ("way 1", "way 2")
    assert {p.loss_db("board") for p in both.points} == {3.0}
    assert both.meaning.endswith("; what combines the two antennas is not in it")
    assert "combines" not in one.meaning


def test_a_summary_says_what_several_paths_mean_once():
    design = two_of_four()
    design.__dict__["paths"] = tuple(
        Path(name, "dune", "way 1", (), meaning) for name, meaning in (("a", "x"), ("b", "y"), ("c", "x"))
    )
    assert [text for heading, text in summary.lines(design) if heading == "path"] == ["a and 1 more: x", "b: y"]


@cache
def selector_design(*names):
    text = '[band]\nlowest = "1.8 MHz"\nhighest = "10.15 MHz"\n' + "".join(
        f'[[antenna]]\nlabel = "{name}"\n' for name in names
    )
    rest = f'[switching]\nrest = "{names[0]}"\n[control]\nlength = "1 m"\n'
    return make_design(Request(read_text(text + rest, "selector.toml"), catalogue()))


def test_a_selector_from_its_own_netlist():
    """It gives the same volts as the plain values that stand for it, and its own designators."""
    design = two_of_four()
    plain = design.station
    made = selector_design("dune", "heath")
    selector = with_board(plain.selector, made.request, made.netlist)
    assert isinstance(selector.board, Board)
    own = Station(**{**{k: getattr(plain, k) for k in Station.__struct_fields__}, "selector": selector})
    ours, theirs = ({(r.case, r.at): r for r in sound_readings(s, [NOMINAL])} for s in (plain, own))
    assert ours.keys() == theirs.keys()
    assert len(ours) == len(cases(plain)) * 9
    for key, reading in ours.items():
        assert theirs[key].volts == pytest.approx(reading.volts, abs=0.02)
        assert theirs[key].verdict == reading.verdict


def test_three_feeders_rest_chosen():
    boxes = [(name, box_design(ways), SHORT) for name, ways in (("a", 1), ("b", 3), ("c", 2))]
    directions = [
        (f"{name} {n}", f"{name}/way {n}", None) for name, d, _ in boxes for n in range(1, len(d.spec.antenna) + 1)
    ]
    steering = station(boxes, directions).station.steering
    assert steering.wanted.rest == "b"
    # the only way of "a" owns its feeder; both ways of "c" have a diode to theirs
    assert [(j.output, j.load) for j in steering.diodes] == [(5, Load("c", "feeder")), (6, Load("c", "feeder"))]
