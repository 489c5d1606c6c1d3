"""Outputs that must never be on together, held against the solved network; and two antennas at once where asked for."""

from itertools import combinations

import pytest

from boardgen.direct_current.solve import solve
from boardgen.documents.json.selection import selection_document
from boardgen.station.interlock import barred, groups, most_at_once
from boardgen.station.network import contact
from boardgen.station.states import cases, settled
from tests.station.made_stations import box_design, station
from tests.station.test_station_proof import NOMINAL, SHORT, two_of_four

BOXES = ("dune", "heath")


def joined_with_both_on(design, one, other):
    """What the network says of two contacts closed: boxes with two antennas on, and how many feeders are through."""
    rest = cases(design.station)[0]
    state, _ = settled(design.station, rest, NOMINAL)
    made = solve(state.network.changed([contact(design.station, n, closed=True) for n in (one, other)]))
    on = [coil for coil in state.coils if made.volts(coil.plus, coil.minus) >= coil.must_operate_v]
    boxes = [box for box in BOXES if sum(coil.board == box for coil in on) > 1]
    return boxes, sum(coil.board == "selector" for coil in on)


@pytest.mark.parametrize("source", [{}, {"together": True, "outputs": 9}])
def test_every_pair_of_outputs_is_barred_that_joins_antennas(source):
    design = two_of_four(source=source)
    steering = design.station.steering
    found = {b.outputs: b.joins for b in barred(steering)}
    for one, other in combinations([o.number for o in steering.outputs], 2):
        boxes, feeders = joined_with_both_on(design, one, other)
        assert ((one, other) in found) == bool(boxes or feeders > 1), (one, other)
        if boxes:
            assert {load.box for load in found[one, other]} == set(boxes)
    assert len(found) == 2 * 6
    document = selection_document(design)
    assert [tuple(b.outputs) for b in document.never_together] == list(found)
    assert document.source.at_once == most_at_once(steering) == (2 if source else 1)


def test_feeders_bar_each_other():
    boxes = [(name, box_design(2), SHORT) for name in (*BOXES, "marsh")]
    directions = [(f"{name} {n}", f"{name}/way {n}", None) for name, *_ in boxes for n in (1, 2)]
    steering = station(boxes, directions, rest="dune").station.steering
    found = {b.outputs for b in barred(steering)}
    # outputs 3 and 4 bring the heath through, 5 and 6 the marsh
    assert found == {(1, 2), (3, 4), (5, 6), *((a, b) for a in (3, 4) for b in (5, 6))}
    assert {what: [o.number for o in own] for what, own in groups(steering).items()} == {
        "antennas of dune": [1, 2],
        "antennas of heath": [3, 4],
        "antennas of marsh": [5, 6],
        "feeder of heath": [3, 4],
        "feeder of marsh": [5, 6],
    }


@pytest.mark.parametrize(("together", "outputs"), [(False, 5), (True, 4)])
def test_two_antennas_at_once_where_a_plan_asks_for_them(together, outputs):
    """Both relays operate and no other; the currents add; the pair's outputs do not bar each other, others do."""
    directions = [(f"{n}", f"dune/way {n}", None) for n in range(1, 5)]
    design = station(
        [("dune", box_design(4), SHORT)],
        directions,
        source={"together": together, "outputs": outputs},
        pairs=[("both", "dune/way 1", "dune/way 2")],
    )
    steering = design.station.steering
    assert len(steering.outputs) == outputs
    row = design.table.rows[-1]
    assert row.selected == "dune/way 1 and way 2"
    assert [r.strip for r in row.relays] == ["way 1", "way 2"]
    assert design.proof.wrong == ()
    assert [(p.id, p.severity) for p in design.problems] == [("P047 pair", "warning")]
    currents = {
        case.name: -settled(design.station, case, NOMINAL)[1].current("supply") for case in cases(design.station)
    }
    # where one output works both, a diode stands before each: 0.65 V of 13.3 V behind the one on the board
    share = 1.0 if together else 1 - 0.65 / 13.3
    assert currents["both"] == pytest.approx(share * (currents["1"] + currents["2"]), rel=0.01)
    alone = {o.directions[0] if not together else o.works[0].strip[-1]: o.number for o in steering.outputs[:4]}
    found = {frozenset(b.outputs) for b in barred(steering)}
    ways = {frozenset((alone[a], alone[b])) for a, b in combinations("1234", 2)}
    assert ways - found == {frozenset((alone["1"], alone["2"]))}
    assert selection_document(design).directions[-1].beside == "way 2"
