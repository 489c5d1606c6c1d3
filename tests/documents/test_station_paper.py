"""What of a station is printed and cut out: labels with the name of every end, and the way from a switch to outputs."""

import re
from html import unescape

import pytest

from boardgen.documents.station.labels import station_labels
from boardgen.documents.station.source import Source
from boardgen.documents.station.switch_over import switch_over
from boardgen.station.steering import reached
from tests.station.made_stations import box_design, station

CABLE = {"length": "30 m", "conductors": 8, "returns": 2}
DIRECTIONS = [(f"{box} {n}", f"{box}/way {n}", None) for box in ("dune", "heath") for n in range(1, 5)]


def made(source, *, remotes=(), directions=DIRECTIONS):
    boxes = [(name, box_design(4, feeds=2, lines="shared"), CABLE) for name in ("dune", "heath")]
    return Source(station(boxes, directions, source=source, rest="dune", remotes=remotes), "")


def test_every_end_of_every_cable_has_a_label_with_its_box():
    back = ("back", "heath/way 2", "pair switch")
    source = made({"outputs": 20}, remotes=[("pair switch", "heath/way 2")], directions=[*DIRECTIONS, back])
    words = [unescape(w) for w in re.findall(r"<text[^>]*>([^<]*)</text>", station_labels(source))]
    # words on a label that is folded stand twice
    for box in ("dune", "heath"):
        assert words.count(f"{box}: feeder") == 4
        assert words.count(f"{box}: control cable") == 4
        assert words.count(f"at the feeder selector, port {box}") == 2
        for n in range(1, 5):
            assert words.count(f"{box}: way {n}") == 4
    assert words.count("at the antenna, pair switch") == 2
    assert words.count("at the source") == 4
    carried = [c for cable in source.station.cables.values() for c in cable.conductors if c.net]
    assert sum(w.startswith("dune: select way") for w in words) == 4
    assert sum(", to " in w for w in words) == len(carried)


@pytest.mark.parametrize("poles", [1, 2])
def test_relay_outputs_take_over_what_a_switch_did(poles):
    """Each direction has the same loads by one output; contacts that it replaces are those of its position."""
    source = made({"kind": "manual switch", "outputs": 9, "poles": poles})
    plan = switch_over(source)
    old = source.station.steering
    assert len(plan.takeovers) == 8
    for direction, loads in old.wanted.loads.items():
        assert reached(plan.steering.joints, plan.steering.on(direction)) == loads
    for takeover in plan.takeovers:
        [position] = {position for _, position, _ in takeover.contacts}
        rows = [row for row in source.table.rows if row.positions == (position,)]
        assert [row.direction for row in rows] == list(takeover.directions)
    # four diodes to the feeder of the other box, and those of the shared feeds, whatever steered them before
    assert plan.kept + plan.left == len(old.diodes)
    assert plan.kept + plan.wanted == len(plan.steering.diodes)
    assert (plan.wanted > 0) == (poles == 2)
