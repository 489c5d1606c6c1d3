"""Every combination of four options on plain wiring data: our rules and an independent walk find nothing wrong."""

from __future__ import annotations

import pytest

from boardgen.circuit.compose import compose
from boardgen.circuit.freeze import freeze
from boardgen.circuit.rules import check
from boardgen.circuit.walk import Walk, reached
from boardgen.model.selection import AT_REST
from boardgen.request import Request
from boardgen.sizing.size import size
from boardgen.spec.load import read_text
from tests.catalogue.shipped import CATALOGUE
from tests.circuit.independent_walk import facts, faults
from tests.circuit.options import ENTRY, SIGNAL, Options, covering, specification


def board(text: str):
    request = Request(read_text(text), CATALOGUE)
    choices = size(request)
    return request, choices, freeze(request, compose(request, choices))


def judge(options: dict[str, object], ways: int = 2) -> None:
    request, choices, netlist = board(specification(options, ways))
    assert not choices.problems or {p.severity for p in choices.problems} == {"warning"}, choices.problems
    assert [p for p in check(request, netlist) if p.severity == "shortfall"] == [], options
    assert faults(facts(netlist)) == [], options


@pytest.mark.parametrize("options", [SIGNAL, ENTRY], ids=["signal path", "control entry"])
def test_every_four_options(options: Options) -> None:
    for option in covering(options, 4):
        judge(option)


@pytest.mark.parametrize("bus_braid", ["bonded", "floating"])
@pytest.mark.parametrize("attenuator", SIGNAL["attenuator"])
def test_no_resistance_joins_stake_and_0v_where_they_are_left_open(bus_braid: str, attenuator: str) -> None:
    """Without feeds every braid is on its transformer's far side: what drains behind it drains to 0V."""
    _, _, netlist = board(specification({"earth_to_0v": "open", "bus_braid": bus_braid, "attenuator": attenuator}))
    assert "0V" not in reached(Walk(netlist, AT_REST).any_resistance, "earth")


@pytest.mark.parametrize("ways", range(1, 17))
def test_one_to_sixteen_ways(ways: int) -> None:
    judge({"feed": "local rail"}, ways)
    judge({"relays_in_series": 2, "idle": "open", "surge": False}, ways)
