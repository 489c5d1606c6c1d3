"""Steering: exactly the wanted loads are reached, with as few diodes as trying all ways finds, and none for nothing."""

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from boardgen.station.steering import (
    Joint,
    SteeringSource,
    best_rest,
    one_at_a_time,
    outputs_needed,
    reached,
    steer,
    steer_sets,
)
from boardgen.station.wanted import Load, Wanted

LOADS = [Load("box", "select", str(n)) for n in range(5)]
SETS = st.lists(st.frozensets(st.sampled_from(LOADS), min_size=1), min_size=1, max_size=4, unique=True)


def two_boxes_of_four(rest="dune"):
    loads = {}
    for box in ("dune", "heath"):
        for way in ("north", "east", "south", "west"):
            found = {Load(box, "select", way)} | ({Load(box, "feeder")} if box != rest else set())
            loads[f"{box} {way}"] = frozenset(found)
    return Wanted(rest, loads)


def right(joints, sets):
    return all(reached(joints, [number]) == works for number, works in enumerate(sets, 1))


@given(SETS)
@settings(max_examples=100, deadline=None)
def test_fewest_diodes_by_trying_all_ways(sets):
    """Every pair of an output and a load it works joined by nothing, a wire or a diode."""
    ours = steer_sets(sets)
    assert right(ours, sets)
    pairs = [(number, load) for number, works in enumerate(sets, 1) for load in works]
    if len(pairs) > 7:
        return
    least = min(
        sum(kind == "diode" for kind in kinds)
        for kinds in product(("nothing", "wire", "diode"), repeat=len(pairs))
        if right(
            [Joint(*pair, kind == "diode") for pair, kind in zip(pairs, kinds, strict=True) if kind != "nothing"], sets
        )
    )
    assert sum(j.diode for j in ours) == least


@given(SETS)
@settings(max_examples=200, deadline=None)
def test_no_diode_can_be_left_out(sets):
    """Neither by a wire in its place, which works a wrong load, nor by nothing, which leaves a wanted one dead."""
    ours = steer_sets(sets)
    for n, joint in enumerate(ours):
        if joint.diode:
            others = (*ours[:n], *ours[n + 1 :])
            assert not right((*others, Joint(joint.output, joint.load, diode=False)), sets)
            assert not right(others, sets)


@given(SETS, st.frozensets(st.sampled_from(LOADS)))
@settings(max_examples=100, deadline=None)
def test_a_direct_load_has_one_diode_before_it_at_most(sets, direct):
    ours = steer_sets(sets, direct=direct)
    assert right(ours, sets)
    for number, works in enumerate(sets, 1):
        assert works & direct <= {j.load for j in ours if j.output == number}


@given(st.dictionaries(st.sampled_from("abcdefg"), st.frozensets(st.sampled_from(LOADS), min_size=1), min_size=1))
@settings(max_examples=60, deadline=None)
def test_every_source_works_exactly_what_is_wanted(loads):
    wanted = Wanted("box", loads)
    for source in (
        SteeringSource(False, 40),
        SteeringSource(False, 40, together=True),
        SteeringSource(False, 3, together=True),
        SteeringSource(True, 40),
        SteeringSource(True, 40, poles=2),
        SteeringSource(True, 40, poles=3),
    ):
        made = steer(wanted, source)
        for direction, works in loads.items():
            assert reached(made.joints, made.on(direction)) == works
        assert outputs_needed(made, source) >= 1
    assert not steer(wanted, SteeringSource(False, 40, together=True)).diodes


def test_two_boxes_of_four_on_eight_outputs():
    """Common practice, no source: the rest feeder needs no output; the other's relay has one diode a line."""
    made = steer(two_boxes_of_four(), SteeringSource(False, 8))
    assert len(made.outputs) == 8
    assert {str(j.load) for j in made.diodes} == {"feeder heath"}
    assert sorted(j.output for j in made.diodes) == [5, 6, 7, 8]
    assert not any(load.kind == "feeder" and load.box == "dune" for o in made.outputs for load in o.works)


def test_nine_outputs_at_once_need_no_diode():
    made = steer(two_boxes_of_four(), SteeringSource(False, 9, together=True))
    assert (len(made.outputs), made.diodes) == (9, ())
    assert len(made.on("heath east")) == 2


def test_a_second_pole_works_the_feeder_without_a_diode():
    made = steer(two_boxes_of_four(), SteeringSource(True, 8, poles=2))
    assert made.diodes == ()
    assert outputs_needed(made, SteeringSource(True, 8, poles=2)) == 8
    assert len(steer(two_boxes_of_four(), SteeringSource(True, 8)).diodes) == 4


def test_the_larger_box_rests():
    loads = {f"a {n}": {Load("a", "select", str(n))} for n in range(2)} | {
        f"b {n}": {Load("b", "select", str(n))} for n in range(5)
    }
    by_rest = {
        rest: one_at_a_time(
            Wanted(
                rest, {d: frozenset(x | ({Load(d[0], "feeder")} if d[0] != rest else set())) for d, x in loads.items()}
            )
        )
        for rest in ("a", "b")
    }
    assert (len(by_rest["a"].diodes), len(by_rest["b"].diodes)) == (5, 2)
    assert best_rest(by_rest, SteeringSource(False, 8)) == "b"


def test_a_feed_beside_its_antenna():
    """The pair's relay is worked by both outputs: one diode, at the output that works the feed too."""
    pair, feed = Load("dune", "select", "pair"), Load("dune", "feed", "pair")
    made = one_at_a_time(Wanted("dune", {"north": frozenset({pair}), "south": frozenset({pair, feed})}))
    assert [(j.output, j.load) for j in made.diodes] == [(2, pair)]


def test_directions_alike_share_an_output():
    made = one_at_a_time(Wanted("a", {"x": frozenset({LOADS[0]}), "y": frozenset({LOADS[0]})}))
    assert [o.directions for o in made.outputs] == [("x", "y")]


@pytest.mark.parametrize("outputs", [1, 2, 3, 4, 5, 6, 7, 8, 9])
def test_more_outputs_never_need_more_diodes(outputs):
    sources = (SteeringSource(False, n, together=True, may_share=False) for n in (outputs, outputs + 1))
    few, many = (steer(two_boxes_of_four(), source) for source in sources)
    if len(few.outputs) <= outputs:
        assert len(many.diodes) <= len(few.diodes)
