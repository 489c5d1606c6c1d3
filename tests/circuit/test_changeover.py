"""Boards with a port at rest: every three options on plain wiring data, through SKiDL, and exactly one port through."""

from __future__ import annotations

import itertools

import pytest

from boardgen.circuit.build import build
from boardgen.circuit.rules import check
from tests.circuit.independent_walk import SIGNAL as THROUGH
from tests.circuit.independent_walk import blocking, facts, faults, groups, joined, letters
from tests.circuit.options import ENTRY, SIGNAL, Options, covering, specification
from tests.circuit.test_every_option import board

REST = {"rest": "way 1", "idle": "open", "relays_in_series": 1, "unfitted": False}


def kept(options: Options) -> list[dict[str, object]]:
    """Combinations of three options that changeovers can have."""
    found = covering({name: values for name, values in options.items() if name not in REST}, 3)
    return [c | REST for c in found if c["feed"] == "none" or c["feed_lines"] != "with selection"]


def judge(options: dict[str, object], ways: int) -> None:
    request, choices, netlist = board(specification(options, ways))
    assert not choices.problems or {p.severity for p in choices.problems} == {"warning"}, choices.problems
    assert [p for p in check(request, netlist) if p.severity == "shortfall"] == [], options
    found = [f for f in faults(facts(netlist)) if not f.startswith("None: ") or "idle way 1 is on" not in f]
    assert found == [], options
    assert sum(relay.subject.stage == "changeover" for relay in netlist.of_kind("relay")) == ways - 1


@pytest.mark.parametrize("options", [SIGNAL, ENTRY], ids=["signal path", "control entry"])
@pytest.mark.parametrize("ways", range(2, 5))
def test_every_three_options(options: Options, ways: int) -> None:
    for option in kept(options):
        judge(option, ways)


@pytest.mark.parametrize("ways", range(2, 9))
def test_two_to_eight_ports(ways: int) -> None:
    judge({"feed": "local rail"} | REST, ways)


@pytest.mark.parametrize("ways", range(2, 6))
def test_whatever_is_energised_one_port_is_through(ways: int) -> None:
    """Even with several lines live at once: the relays stand in a chain, and the one nearest the output rules."""
    _, _, netlist = board(specification({"feed": "none"} | REST, ways))
    plain = facts(netlist)
    ports = {plain.strip[ref]: plain.pins[ref] for ref in plain.ports}
    fixed = [*joined(plain, THROUGH), *blocking(plain)]
    for live in itertools.product((False, True), repeat=ways - 1):
        on = {f"way {n + 2}" for n, energised in enumerate(live) if energised}
        contacts = [
            (
                pins[f"pole {pole} common"],
                pins[f"pole {pole} normally {'open' if plain.strip[ref] in on else 'closed'}"],
            )
            for ref, pins in plain.pins.items()
            if letters(ref) == "K"
            for pole in "AB"
        ]
        reached = groups([*contacts, *fixed], ("0V", "earth"))
        through = [way for way in plain.antennas if reached[ports[way]["centre"]] == reached[ports["output"]["centre"]]]
        assert through == [max(on, key=lambda way: int(way.split()[1]), default="way 1")]


def test_skidl_holds_the_same() -> None:
    request, choices, netlist = board(specification({"feed": "plain"} | REST, 4))
    held, problems = build(request, choices)
    assert held == netlist
    assert [p for p in problems if p.severity == "shortfall"] == []
