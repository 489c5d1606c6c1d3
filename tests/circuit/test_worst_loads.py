"""Heat and direct current of every part at its worst, by hand and against a general circuit simulator (ngspice)."""

import os
import shutil

import pytest
from msgspec.structs import replace

from boardgen.circuit.worst_loads import worst_loads
from boardgen.handbook.coil import resistance_at
from boardgen.model.choice import Subject
from tests.catalogue.shipped import CATALOGUE
from tests.commissioning.bench_boards import design
from tests.commissioning.netlist_deck import Board, Deck

COLDEST_C, HIGHEST_V = -30.0, 14.0


def told(name, role):
    """Achieved by subject."""
    return {c.subject: c.achieved for c in design(name).choices.values if c.role == role}


def coil_ohm(name):
    """The least resistance of the coldest coil."""
    relay = next(c.part for c in design(name).netlist.of_kind("relay"))
    return resistance_at(relay.figures["coil resistance"].least, COLDEST_C)


@pytest.mark.parametrize("name", ["default", "low side", "cascaded"])
def test_a_series_diode_carries_its_coils(name):
    """By hand: what the diode leaves of the highest supply across the coldest coils, a relay or two on each line."""
    coils = 1 if name == "default" else 2
    for subject, ampere in told(name, "direct current").items():
        if subject.slot == "series diode":
            volts = ampere / coils * coil_ohm(name)
            assert HIGHEST_V - 0.35 < volts < HIGHEST_V - 0.15


def test_a_lamps_resistor_and_the_lamp():
    """By hand: I = (V - V_F)/R and P = I^2 R.

    V_F is the catalogue's less 2 mV for each of 25 K, and less n V_T ln 5 = 80 mV at 2 instead of 10 mA.
    """
    values = {c.subject: c for c in design("no breakers").choices.values if c.role == "dissipation"}
    parts = design("no breakers").choices.parts
    lamps = [(s, c) for s, c in values.items() if s.slot == "indicator resistor"]
    assert lamps
    for subject, value in lamps:
        ohm = parts[value.part].figures["resistance"].least
        lamp = design("no breakers").choices.fixed("lamp", Subject("", "selector", "indicator"))
        lamp_v = lamp.figures["forward voltage"].least - 0.05 - 0.08
        ampere = (HIGHEST_V - 0.2 - lamp_v) / ohm
        assert value.achieved == pytest.approx(ampere**2 * ohm, rel=0.02), subject
        assert value.required == 0.25


def test_a_feed_choke_carries_the_feed_and_a_shared_fuse_all_of_them():
    """60 mA each, whatever the supply: what is fed draws what was stated."""
    for name in ("plain feed", "shared rail", "common-mode choked"):
        chokes = [a for s, a in told(name, "direct current").items() if s.stage == "feed"]
        assert chokes
        assert chokes == pytest.approx([60e-3] * len(chokes), rel=1e-4)


def test_no_direct_current_heats_a_termination_or_crosses_a_core():
    """Blocking capacitors and breakers keep it out, on every arrangement of a feed."""
    for name in (
        "default",
        "plain feed",
        "shared rail",
        "common-mode choked",
        "cascaded",
        "follows",
        "low side",
        "jack",
    ):
        heat = [w for s, w in told(name, "dissipation").items() if s.slot.startswith("termination")]
        assert heat
        assert max(heat) < 1e-9
        in_cores = {a for s, a in told(name, "direct current").items() if s.slot == "transformer"}
        assert in_cores == {0.0}
        assert not [p for p in design(name).problems if p.id.startswith(("V190", "V191"))]


def _bridged(netlist, slot):
    """The netlist with a wire in the place of each part in that slot."""
    gone = {c.ref for c in netlist.components if c.subject.slot == slot}
    into = {netlist.pin_nets[ref]["2"]: netlist.pin_nets[ref]["1"] for ref in gone}
    nodes = {}
    for net in netlist.nets:
        nodes.setdefault(into.get(net.name, net.name), []).extend(node for node in net.nodes if node.ref not in gone)
    kept = tuple(replace(net, nodes=tuple(nodes[net.name])) for net in netlist.nets if net.name in nodes)
    return replace(netlist, components=tuple(c for c in netlist.components if c.ref not in gone), nets=kept)


def test_a_missing_blocking_capacitor_magnetises_a_core():
    board = design("plain feed")
    found = worst_loads(board.request, board.choices, _bridged(board.netlist, "blocking centre"))
    assert "V191 core" in {p.id for p in found.problems}
    # by hand: fuse, both chokes and next to nothing of wire across the highest supply
    parts = {c.subject: c.part for c in board.netlist.components if c.subject.strip == "way 1"}
    ohm = sum(
        part.figures[figure].least
        for subject, part in parts.items()
        for slot, figure in (
            ("feed fuse", "resistance"),
            ("centre choke", "dc resistance"),
            ("braid choke", "dc resistance"),
        )
        if subject.slot == slot
    )
    told = next(c for c in found.choices if c.subject == Subject("way 1", "braid breaker", "transformer"))
    assert told.achieved == pytest.approx(HIGHEST_V / ohm, rel=0.02)


def test_a_weak_resistor_falls_short():
    board = design("no breakers")
    weak = {
        c.ref: replace(c.part, figures={**c.part.figures, "power": replace(c.part.figures["power"], value=0.01)})
        for c in board.netlist.of_kind("resistor")
    }
    components = tuple(replace(c, part=weak.get(c.ref, c.part)) for c in board.netlist.components)
    found = worst_loads(board.request, board.choices, replace(board.netlist, components=components))
    (problem, *_) = [p for p in found.problems if p.id == "V190 rating"]
    assert "it bears 0.01 W" in problem.wanted


@pytest.mark.peer
@pytest.mark.parametrize("name", ["shared rail", "no breakers", "low side", "common-mode choked"])
def test_the_network_of_all_lines_live_is_that_of_a_simulator(name, tmp_path):
    """Currents of feeds, coils and lamps as ngspice finds them in the network of netlist.net's own text."""
    program = shutil.which("ngspice")
    if program is None:
        (pytest.fail if os.environ.get("CI") else pytest.skip)("ngspice IS ABSENT: this comparison was NOT made")
    board = design(name)
    here, deck, control_lines = Board(board), Deck(program, tmp_path), board.netlist.control_lines
    elements = _all_live(board, here)
    coils = [n for n in elements if n.endswith(" coil")]
    source = ("source", "0V", HIGHEST_V)
    loads = [n for n in elements if n.endswith(" load")]
    unlimited, _ = deck.volts(elements, here.diodes(), source, [elements[n][:2] for n in (*coils, *loads)])
    ((total_a, *volts),) = deck.answers([unlimited])
    amperes, fed = ([v / elements[n][2] for v, n in zip(volts[at:], names, strict=False)]
                    for at, names in ((0, coils), (len(coils), loads)))  # fmt: skip
    ours = told(name, "direct current")
    lamp_a = max((a for s, a in ours.items() if s.slot == "indicator"), default=0.0)
    in_diode = max(a for s, a in ours.items() if s.slot == "series diode")
    assert in_diode == pytest.approx(max(amperes) * len(coils) / len(control_lines) + lamp_a, rel=0.02)
    # a load of so many ohms takes less behind its chokes than the current that is asked for
    assert sum(fed) <= sum(s.feed.current for s in board.request.strips if s.feed)
    assert total_a == pytest.approx(in_diode * len(control_lines) + sum(fed), rel=0.02)


def _all_live(board, here):
    """The simulator's board with the least resistances, the coldest coils, its feeds loaded and its lines joined."""
    elements = {n: e for n, e in here.elements(frozenset()).items() if not n.startswith("@")}
    for name, (a, b, _) in elements.items():
        figures = here.parts[name.split()[0]].figures
        if name.endswith(" coil"):
            elements[name] = (a, b, resistance_at(figures["coil resistance"].least, COLDEST_C))
        elif "resistance" in figures:
            elements[name] = (a, b, figures["resistance"].least)
    feeds = {s.label: s.feed for s in board.request.strips if s.feed}
    for port in (p for p in board.netlist.ports if p.strip in feeds):
        elements[f"{port.ref} load"] = (port.centre, port.braid, HIGHEST_V / feeds[port.strip].current)
    for line in board.netlist.control_lines:
        elements[f"line {line.net}"] = (line.net, "0V" if board.request.low_side else "source", 1e-3)
    for net in (n.name for n in board.netlist.nets if n.name == "coil supply" or "feed line" in n.name):
        elements[f"line {net}"] = (net, "source", 1e-3)
    return elements


def test_parts_of_the_catalogue_that_are_rated_for_heat():
    """Every family of resistors has its power: none can be left out of the check."""
    assert all(part.figures["power"].value > 0 for part in CATALOGUE.of_kind("resistor"))
