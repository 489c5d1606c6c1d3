"""Shared lines: as few outputs as trying all ways finds, every direction served, and the station proved with them."""

import random
from itertools import chain, combinations

import pytest

from boardgen.spec.template import station_files
from boardgen.station.feasible import chosen
from boardgen.station.interlock import most_at_once
from boardgen.station.load import load_plan
from boardgen.station.sharing import colouring, fewest_outputs
from boardgen.station.steering import SteeringSource, best_rest, reached, steer
from boardgen.station.wanted import Load, Wanted
from tests.station.made_stations import box_design, station
from tests.station.test_station_proof import SHORT

BOXES = ("dune", "heath", "marsh")


def random_wanted(seed):
    """Two or three boxes of one to three antennas, some with a feed of their own, the first box at rest."""
    pick = random.Random(seed)
    loads = {}
    for box in BOXES[: pick.randint(2, 3)]:
        through = frozenset() if box == "dune" else frozenset({Load(box, "feeder")})
        for way in range(pick.randint(1, 3)):
            select = frozenset({Load(box, "select", str(way))}) | through
            loads[f"{box} {way}"] = select
            if pick.random() < 0.4:
                loads[f"{box} {way} fed"] = select | {Load(box, "feed", str(way))}
    return Wanted("dune", loads)


def fewest_by_trying(wanted):
    """The least number of outputs, by going through every way to cover what directions want with sets of loads."""
    may = {d: must | wanted.indifferent(d) for d, must in wanted.loads.items()}
    groups = chain(*(combinations(may, n) for n in range(1, len(may) + 1)))
    # of outputs that the same directions use, that which works most serves them best
    largest = {works for group in groups if (works := frozenset.intersection(*(may[d] for d in group)))}
    serves = {works: {(d, x) for d in may if works <= may[d] for x in works & wanted.loads[d]} for works in largest}
    pairs = {(d, x) for d, must in wanted.loads.items() for x in must}

    def possible(left, count):
        if not left:
            return True
        first = min(left)
        return count > 0 and any(possible(left - own, count - 1) for own in serves.values() if first in own)

    return next(count for count in range(1, 20) if possible(pairs, count))


@pytest.mark.parametrize("seed", range(9))
def test_fewest_outputs_by_trying_all_ways(seed):
    wanted = random_wanted(seed)
    found = fewest_outputs(wanted)
    assert len(found) == fewest_by_trying(wanted)
    for direction, must in wanted.loads.items():
        on = frozenset().union(*(o.works for o in found if direction in o.directions))
        assert must <= on <= must | wanted.indifferent(direction)


def test_a_colouring_is_the_least_where_no_clique_says_so():
    """A ring of five points needs three colours, though no three of them are neighbours."""
    ring = [1 << (n + 1) % 5 | 1 << (n - 1) % 5 for n in range(5)]
    colours = colouring(ring)
    assert max(colours) + 1 == 3
    assert all(colours[n] != colours[(n + 1) % 5] for n in range(5))


def test_a_wiring_with_diodes_where_it_takes_fewer_outputs():
    """Two directions of three loads each, one of them in both: two outputs do, each load by itself would take three."""
    a, b, c = (Load("dune", "select", x) for x in "abc")
    wanted = Wanted("dune", {"one": frozenset({a, b}), "two": frozenset({b, c})})
    made = steer(wanted, SteeringSource(False, 1, together=True))
    assert len(fewest_outputs(wanted)) == 2
    for direction, loads in wanted.loads.items():
        assert reached(made.joints, made.on(direction)) == loads


def test_twelve_directions_of_three_boxes_on_eight_outputs():
    """Four shared lines and two of the feeder selector, where a line a relay would take fourteen outputs."""
    boxes = [(name, box_design(4), SHORT) for name in BOXES]
    directions = [(f"{name} {n}", f"{name}/way {n}", None) for name in BOXES for n in range(1, 5)]
    made = station(boxes, directions, source={"outputs": 8, "together": True})
    steering = made.station.steering
    assert len(steering.outputs) == 6
    assert not steering.diodes
    assert made.proof.wrong == ()
    assert [(p.id, p.severity) for p in made.problems] == [("P045 shared lines", "warning")]
    for row in made.table.rows:
        # the wanted relay, that of the feeder but for the box at rest, and one in each idle box
        assert len(row.relays) == (1 if row.box == made.rest else 2)
        assert sorted(r.board for r in row.along) == sorted(set(BOXES) - {row.box})
        assert {r.strip for r in row.along} == {row.antenna}
        assert len(row.outputs) == len(row.relays)
    # the selector alone keeps what idle boxes select from the receiver, so more is wanted of it
    assert 'isolation = "50 dB"' in made.selector_text
    assert "by 50 dB or more" in made.problems[0].wanted


def test_the_template_of_three_boxes_takes_six_of_its_eight_outputs(tmp_path):
    for name, text in station_files("three-boxes").items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    loaded = load_plan(tmp_path / "station.toml")
    steering = chosen(loaded.plan, loaded.specs)
    assert steering.shares
    assert (len(steering.outputs), loaded.plan.source.outputs) == (6, 8)
    assert most_at_once(steering) == 2


def test_outputs_for_every_relay_leave_idle_boxes_alone():
    boxes = [(name, box_design(4), SHORT) for name in BOXES]
    directions = [(f"{name} {n}", f"{name}/way {n}", None) for name in BOXES for n in range(1, 5)]
    made = station(boxes, directions, source={"outputs": 14, "together": True})
    assert not made.station.steering.shares
    assert 'isolation = "40 dB"' in made.selector_text
    assert not any(row.along for row in made.table.rows)
    assert made.problems == ()


def test_a_rest_feeder_with_which_nothing_is_shared_is_taken_first():
    """Even where the other one costs no diode: its lines are shared."""
    antennas = [("a", "1"), ("a", "2"), ("b", "1"), ("b", "2")]
    made = {}
    for rest, outputs in (("a", 3), ("b", 4)):
        loads = {
            f"{box} {way}": frozenset({Load(box, "select", way)} | ({Load(box, "feeder")} if box != rest else set()))
            for box, way in antennas
        }
        made[rest] = steer(Wanted(rest, loads), SteeringSource(False, outputs, together=True))
    assert {rest: (one.shares, len(one.outputs), len(one.diodes)) for rest, one in made.items()} == {
        "a": (True, 3, 0),
        "b": (False, 4, 2),
    }
    assert best_rest(made, SteeringSource(False, 4, together=True)) == "b"
