"""All pairs of options through SKiDL and the written file, read back by kinparse."""

from __future__ import annotations

import functools
from collections import Counter

import kinparse
import pytest

from boardgen.catalogue import load
from boardgen.circuit.compose import compose
from boardgen.circuit.freeze import freeze
from boardgen.design import Design, make_design
from boardgen.documents.named import named_netlist
from boardgen.formats.netlist import netlist_text
from boardgen.model.part import FootprintName
from boardgen.request import Request
from boardgen.spec.load import load as load_spec
from boardgen.spec.load import read_text
from boardgen.spec.template import template_names, templates_folder
from tests.circuit.independent_walk import facts, facts_of_file, faults, letters
from tests.circuit.options import ALL, all_pairs, specification

PAIRS = all_pairs(ALL)


@functools.cache
def catalogue():
    return load()


def written(design: Design):
    text = netlist_text(design.netlist, "boardgen test", {}, "")
    return text, kinparse.parse_netlist(text)


@pytest.mark.slow
@pytest.mark.parametrize("number", range(len(PAIRS)))
def test_all_pairs_of_options(number: int) -> None:
    design = make_design(Request(read_text(specification(PAIRS[number], ways=3)), catalogue()))
    _, parsed = written(design)
    board = facts_of_file(parsed)
    assert faults(board) == []
    assert board == facts(design.netlist)
    drawn = freeze(design.request, compose(design.request, design.choices))
    assert design.netlist == drawn
    assert [p for p in design.problems if p.id.startswith("C1")] == []


def test_all_pairs_are_covered() -> None:
    for one in ALL:
        for a in ALL[one]:
            assert any(pair[one] == a for pair in PAIRS), (one, a)


WAYS = {"two-way": 2, "eight-way": 8}


@pytest.mark.slow
@pytest.mark.parametrize("name", template_names())
def test_counts_of_each_template(name: str) -> None:
    spec = load_spec(templates_folder() / f"{name}.toml")
    _, parsed = written(make_design(Request(spec, catalogue())))
    count = Counter(letters(part.ref) for part in parsed.parts)
    ways = WAYS.get(name, 4)
    feeds = sum(a.feed is not None for a in spec.antenna)
    assert count["J"] == ways + 1
    assert count["T"] == ways + 1
    assert count["K"] == ways * spec.switching.relays_in_series
    assert count["L"] == 3 * feeds
    assert faults(facts_of_file(parsed)) == []


@pytest.mark.slow
def test_the_file_is_the_same_every_time() -> None:
    spec = load_spec(templates_folder() / "four-way.toml")
    first, second = (written(make_design(Request(spec, load())))[0] for _ in range(2))
    assert first == second


@pytest.mark.slow
def test_names_that_other_programs_misread_are_put_into_plain_letters() -> None:
    labels = ["København", 'the "old" one', "a/b\\c", "北", "=1+1", "<script>alert(1)</script>", "north", "north line"]
    antennas = "\n".join(f"[[antenna]]\nlabel = '{label}'" for label in labels)
    head = '[band]\nlowest = "160 m"\nhighest = "40 m"\n[control]\ncables = 2\n'
    design = make_design(Request(read_text(head + antennas), catalogue()))
    text, parsed = written(design)
    names = [net.name for net in parsed.nets]
    assert text.isascii() or "København" in text
    assert all(name.isascii() and not set(name) & set('"\\/') for name in names)
    assert len(names) == len(set(names))
    assert faults(facts_of_file(parsed)) == []
    assert any(net.label for net in design.netlist.nets)


@pytest.mark.slow
def test_own_footprint_names_and_pads_replace_ours() -> None:
    design = make_design(Request(load_spec(templates_folder() / "two-way.toml"), catalogue()))
    names = {"core-202": FootprintName("my own core", {"P1": "1", "S1": "P1"})}
    named = named_netlist(design.netlist, None, names)
    parsed = kinparse.parse_netlist(netlist_text(named, "boardgen test", {}, ""))
    footprints = {part.footprint for part in parsed.parts}
    assert "my own core" in footprints
    assert "footprints:core-202" not in footprints
    roles = {node.role: node.pad for net in design.netlist.nets for node in net.nodes if node.ref == "T1"}
    numbers = {(pin.ref, pin.num): net.name for net in parsed.nets for pin in net.pins}
    pin_nets = design.netlist.pin_nets["T1"]
    there = {"P1": "1", "S1": "P1"}
    assert {pad for ref, pad in numbers if ref == "T1"} == {there.get(pad, pad) for pad in roles.values()}
    assert all(numbers["T1", there.get(pad, pad)] == pin_nets[role] for role, pad in roles.items())
