"""All pairs of options through SKiDL and the written file, read back."""

from __future__ import annotations

import itertools
import re
from collections import Counter
from collections.abc import Iterable

import kinparse
import pytest

from boardgen.catalogue import load as load_catalogue
from boardgen.circuit.build import build
from boardgen.circuit.compose import compose
from boardgen.circuit.freeze import freeze
from boardgen.documents.named import named_netlist
from boardgen.formats.netlist import netlist_text
from boardgen.model.netlist import Netlist
from boardgen.model.part import FootprintName
from boardgen.request import Request
from boardgen.sizing.size import size
from boardgen.spec.keys import Spec
from boardgen.spec.load import load, read_text
from boardgen.spec.template import template_names, templates_folder
from tests.circuit.independent_walk import facts, facts_of_file, faults, letters
from tests.circuit.netlist_file import read_netlist
from tests.circuit.options import ALL, ENTRY, SIGNAL, Options, covering, refused, specification, tuples

CATALOGUE = load_catalogue()


def board(spec: Spec) -> tuple[Request, Netlist]:
    """The netlist as SKiDL holds it, without a fault."""
    request = Request(spec, CATALOGUE)
    choices = size(request)
    netlist, problems = build(request, choices)
    assert [p for p in problems if p.severity == "shortfall"] == []
    assert netlist == freeze(request, compose(request, choices))
    return request, netlist


def written(netlist: Netlist) -> str:
    return netlist_text(netlist, "boardgen test", {}, "")


def template(name: str) -> Spec:
    return load(templates_folder() / f"{name}.toml")


@pytest.mark.parametrize("option", covering(ALL, 2))
def test_all_pairs_of_options(option: dict[str, object]) -> None:
    _, netlist = board(read_text(specification(option, ways=3)))
    read = facts_of_file(read_netlist(written(netlist)))
    assert faults(read) == []
    assert read == facts(netlist)


@pytest.mark.parametrize("options", [SIGNAL, ENTRY, ALL], ids=["signal", "entry", "all"])
@pytest.mark.parametrize("strength", [2, 3])
def test_all_values_meet_in_a_covering_array(options: Options, strength: int) -> None:
    rows = covering(options, strength)
    met = {values for row in rows for values in itertools.combinations(row.items(), strength)}
    # a value that is true equals 1, so that the words of all are compared
    assert {repr(values) for values in met} == {repr(values) for values in tuples(options, strength)}
    assert not any(map(refused, rows))
    assert len(rows) < 100


WAYS = {"two-way": 2, "eight-way": 8}


@pytest.mark.parametrize("name", template_names())
def test_counts_of_each_template(name: str) -> None:
    request, netlist = board(template(name))
    read = read_netlist(written(netlist))
    count = Counter(letters(part.ref) for part in read.parts)
    ways = WAYS.get(name, 4)
    feeds = sum(a.feed is not None for a in request.spec.antenna)
    assert count["J"] == ways + 1
    assert count["T"] == ways + 1
    assert count["K"] == ways * request.spec.switching.relays_in_series
    assert count["L"] == 3 * feeds
    assert faults(facts_of_file(read)) == []


def test_the_file_is_the_same_every_time() -> None:
    assert written(board(template("four-way"))[1]) == written(board(template("four-way"))[1])


HEAD = '[band]\nlowest = "160 m"\nhighest = "40 m"\n[control]\ncables = 2\n'


def labelled(labels: Iterable[str]) -> Netlist:
    """A board whose antennas have these labels."""
    return board(read_text(HEAD + "\n".join(f"[[antenna]]\nlabel = '{label}'" for label in labels)))[1]


def test_another_reader_finds_the_same() -> None:
    """The reader of these tests beside kinparse, which takes a second for this small board."""
    text = written(labelled(['the "old" one', "b\\c"]))
    read, parsed = read_netlist(text), kinparse.parse_netlist(text)
    assert {net.name: tuple((p.ref, p.num, p.function) for p in net.pins) for net in parsed.nets} == read.nets
    # kinparse leaves the strokes before quotes and strokes
    there = ((p.ref, p.footprint, {f.name: re.sub(r"\\(.)", r"\1", f[1]) for f in p.fields}) for p in parsed.parts)
    assert tuple(there) == read.parts


def test_names_that_other_programs_misread_are_put_into_plain_letters() -> None:
    netlist = labelled(
        ["København", 'the "old" one', "a/b\\c", "北", "=1+1", "<script>alert(1)</script>", "north", "north line"]
    )
    text = written(netlist)
    read = read_netlist(text)
    assert text.isascii() or "København" in text
    assert all(name.isascii() and not set(name) & set('"\\/') for name in read.nets)
    assert len(read.nets) == len(netlist.nets)
    assert faults(facts_of_file(read)) == []
    assert any(net.label for net in netlist.nets)


def test_own_footprint_names_and_pads_replace_ours() -> None:
    _, netlist = board(template("two-way"))
    names = {"core-202": FootprintName("my own core", {"P1": "1", "S1": "P1"})}
    read = read_netlist(written(named_netlist(netlist, None, names)))
    footprints = {part.footprint for part in read.parts}
    assert "my own core" in footprints
    assert "footprints:core-202" not in footprints
    roles = {node.role: node.pad for net in netlist.nets for node in net.nodes if node.ref == "T1"}
    numbers = {(pin.ref, pin.number): name for name, pins in read.nets.items() for pin in pins}
    there = {"P1": "1", "S1": "P1"}
    assert {pad for ref, pad in numbers if ref == "T1"} == {there.get(pad, pad) for pad in roles.values()}
    assert all(numbers["T1", there.get(pad, pad)] == netlist.pin_nets["T1"][role] for role, pad in roles.items())
