"""Manual switches: two, or one a box, work exactly what one does, and what is on besides is not heard."""

import pytest

from boardgen.station.manual_switch import contacts, positions_in_words, switch_names
from boardgen.station.steering import SteeringSource, outputs_needed, reached
from tests.station.made_stations import box_design, station
from tests.station.test_station_proof import SHORT

NAMES = ("dune", "heath", "marsh")
WAYS = {"dune": 4, "heath": 2, "marsh": 3}


def made(switches, outputs, **source):
    boxes = [(name, box_design(WAYS[name]), SHORT) for name in NAMES]
    directions = [(f"{name} {n}", f"{name}/way {n}", None) for name in NAMES for n in range(1, WAYS[name] + 1)]
    source = {"kind": "manual switch", "switches": switches, "outputs": outputs, **source}
    return station(boxes, directions, source=source, rest="dune")


@pytest.mark.parametrize(("switches", "outputs"), [("one", 10), ("two", 5), ("one a box", 5)])
def test_every_direction_is_worked(switches, outputs):
    """By the contacts of its positions alone: what is wanted is on, and besides it at most antennas of idle boxes."""
    design = made(switches, outputs)
    steering = design.station.steering
    found = contacts(steering)
    for direction, loads in steering.wanted.loads.items():
        on = [
            c for c in found if steering.positions[direction][c.switch - 1] == c.position and direction in c.directions
        ]
        numbers = {j.output for c in on for j in c.joints}
        assert numbers == set(steering.on(direction))
        also = reached(steering.joints, numbers) - loads
        assert also <= steering.wanted.indifferent(direction)
        assert bool(also) == (switches == "two" and direction != "dune 4"), (direction, also)
    # no two directions have the same positions
    assert len(set(steering.positions.values())) == len(steering.positions)
    assert design.proof.wrong == ()


def test_two_switches_choose_antenna_and_box():
    design = made("two", 5)
    steering = design.station.steering
    names = switch_names(steering, "two")
    words = {d: positions_in_words(names, p) for d, p in steering.positions.items()}
    assert words["dune 4"] == "antenna 4, box 1"
    assert words["marsh 3"] == "antenna 3, box 3"
    assert not steering.diodes
    assert [p.id for p in design.problems] == ["P045 shared lines"]
    assert [need.per_board for need in design.beside.needs if need.part.kind == "switch"] == [2]


def test_a_switch_a_box_leaves_the_others_off():
    design = made("one a box", 5)
    steering = design.station.steering
    assert steering.positions["heath 2"] == (0, 2, 0)
    # the feeders of heath and marsh, from each of their contacts
    assert len(steering.diodes) == 5
    assert design.problems == ()
    assert [need.per_board for need in design.beside.needs if need.part.kind == "switch"] == [3]


@pytest.mark.parametrize(
    ("switches", "off", "needed"),
    [
        ("one", True, 10),
        ("one", False, 9),
        ("two", True, 5),
        ("two", False, 4),
        ("one a box", True, 5),
        ("one a box", False, 5),
    ],
)
def test_positions_that_the_largest_switch_must_have(switches, off, needed):
    steering = made(switches, 10, off_position=off).station.steering
    source = SteeringSource(True, 10, switches=switches, off_position=off)
    assert outputs_needed(steering, source) == needed


def test_a_switch_of_more_than_twelve_positions_is_hard_to_find():
    [problem] = [p for p in made("one", 13).problems if p.id == "P048 switch"]
    assert problem.severity == "warning"
    assert 'switches = "two" of 5 positions each' in problem.hint
    assert 'switches = "one a box" of 5 positions each' in problem.hint
    assert made("one", 12).problems == ()
