"""What [prefer] decides among parts and windings that meet every rule."""

import pytest
from msgspec.structs import replace

from boardgen.request import Request
from boardgen.sizing.preference import (
    LEAST_WIRE_M,
    MOST_PASSES,
    area_m2,
    one_for_all,
    preferred,
    rank,
    winding_rank,
)
from boardgen.sizing.size import size
from boardgen.spec.load import read_text
from tests.catalogue.shipped import CATALOGUE

ASKED = '[band]\nlowest = "{}"\nhighest = "{}"\n[[antenna]]\nlabel = "north"\n[prefer]\nparts = "{}"\n'


def request(parts, lowest="1.8 MHz", highest="10.15 MHz"):
    """One antenna, with that preference."""
    return Request(read_text(ASKED.format(lowest, highest, parts)), CATALOGUE)


def taken(parts, **band):
    """The core, the wire and the passes through each hole."""
    choices = size(request(parts, **band))
    turns = next(c for c in choices.values if c.role == "turns")
    port = next(c for c in choices.values if c.role == "port turns")
    wire = next(c for c in choices.values if c.role == "winding wire")
    return CATALOGUE.part(turns.part), CATALOGUE.part(wire.part), turns.chosen + port.chosen


def test_easy_takes_thick_wire_and_a_part_that_is_known_to_be_made():
    core, wire, passes = taken("easy to build")
    thickest = max(p.figures["diameter"].value for p in CATALOGUE.of_kind("winding wire"))
    assert wire.figures["diameter"].value == thickest
    assert passes <= 16
    assert core.supply == "made"


def test_small_and_cheap_take_a_smaller_and_a_cheaper_core():
    easy, small, cheap = (taken(parts) for parts in ("easy to build", "small", "cheap"))
    asked = request("small")
    assert area_m2(asked, small[0]) < area_m2(asked, easy[0])
    assert cheap[0].cost_class < easy[0].cost_class


@pytest.mark.parametrize("parts", ["easy to build", "small", "cheap"])
def test_nobody_winds_hair_wire_while_there_is_another_way(parts):
    _, wire, passes = taken(parts)
    assert wire.figures["diameter"].value >= LEAST_WIRE_M
    assert passes <= MOST_PASSES


def test_a_winding_that_nobody_wants_comes_last():
    asked, core = request("cheap"), CATALOGUE.part("core-73-202")
    wires = {p.key: p for p in CATALOGUE.of_kind("winding wire")}
    thick, thin = wires["wire-awg26"], wires["wire-awg32"]
    small = CATALOGUE.part("core-73-2402")
    assert small.cost_class < core.cost_class
    assert winding_rank(asked, core, thick, 8) < winding_rank(asked, small, thin, 8)
    assert winding_rank(asked, core, thick, 20) < winding_rank(asked, small, thick, 21)
    easy = request("easy to build")
    assert winding_rank(easy, core, thick, 16) < winding_rank(easy, core, thick, 17)


@pytest.mark.parametrize(("bare_m", "unwanted"), [(0.251e-3, 0.0), (0.249e-3, 1.0)])
def test_wire_of_a_quarter_of_a_millimetre_is_the_thinnest_that_is_wanted(bare_m, unwanted):
    wire = CATALOGUE.part("wire-awg30")
    own = replace(wire, figures={**wire.figures, "diameter": replace(wire.figures["diameter"], value=bare_m)})
    assert winding_rank(request("small"), CATALOGUE.part("core-73-202"), own, 8)[0] == unwanted


def test_a_part_without_a_cost_class_counts_as_the_middle_one():
    core = CATALOGUE.part("core-73-202")
    costs = [rank(request("cheap"), replace(core, cost_class=cost))[1] for cost in (2, 0, 4)]
    assert costs == [2, 3, 4]


def test_a_relay_that_is_made_no_more_comes_last_where_easy():
    assert preferred(request("easy to build"), "relay", "relay")[-1].supply == "ended"


def test_of_parts_that_are_made_the_one_whose_pins_were_read_is_easier():
    relay = CATALOGUE.part("relay-ea2-12")
    read = replace(relay, attributes={**relay.attributes, "pin map": "read"})
    assert relay.attributes["pin map"] == "recalled"
    assert rank(request("easy to build"), read) < rank(request("easy to build"), relay)
    assert rank(request("cheap"), read) == rank(request("cheap"), relay)
    recalled = replace(read, standing="recalled")
    assert rank(request("easy to build"), recalled) == rank(request("easy to build"), relay)
    # how well a sheet was read never comes before whether a part is made
    assert rank(request("easy to build"), relay) < rank(request("easy to build"), replace(read, supply="unconfirmed"))


FED = (
    '[[antenna]]\nlabel = "fed"\nfeed = "12 V 60 mA"\n[switching]\nfeed_arrangement = "local rail"\n[band]\n'
    'lowest = "{}"\nhighest = "{}"\n[prefer]\nparts = "{}"\n'
)


def kinds_of_chokes(parts, lowest="1.8 MHz", highest="10.15 MHz", more=""):
    """The chokes of a board whose antenna has a feed with a local rail."""
    found = size(Request(read_text(FED.format(lowest, highest, parts) + more), CATALOGUE))
    assert not [p for p in found.problems if p.severity == "shortfall"]
    return {c.part for c in found.values if c.role == "choke"}


def test_easy_takes_one_choke_for_every_place_that_it_suits():
    assert kinds_of_chokes("easy to build") == {"choke-rh0912-470uh"}
    assert len(kinds_of_chokes("cheap")) == 2
    # where none suits every place each takes its own, and what is pinned stays
    assert len(kinds_of_chokes("easy to build", "472 kHz", "7.3 MHz")) == 2
    pinned = kinds_of_chokes("easy to build", more='[parts]\nsupply_choke = "choke-rh0912-680uh"\n')
    assert pinned == {"choke-rh0912-150uh", "choke-rh0912-680uh"}


def test_one_part_for_all_is_no_harder_to_have_than_the_first_of_any():
    asked = request("easy to build")
    first, second = CATALOGUE.part("choke-rh0912-150uh"), CATALOGUE.part("choke-rh0912-470uh")
    places = [lambda part: True, lambda part: part.key == second.key]
    assert one_for_all(asked, (first, second), places) == second
    assert one_for_all(asked, (first, replace(second, supply="unconfirmed")), places) is None
    assert one_for_all(request("small"), (first, second), places) is None


def test_a_kept_part_stays_whatever_is_preferred():
    kept = replace(request("cheap"), kept={"relay": "relay-tq2-12"})
    assert preferred(kept, "relay", "relay")[0].key == "relay-tq2-12"
    assert preferred(request("cheap"), "relay", "relay")[0].key != "relay-tq2-12"
