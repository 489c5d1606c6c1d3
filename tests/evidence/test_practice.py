"""What builders of such boxes commonly do, held against what the program does by default."""

from pathlib import Path

import pytest

from boardgen.circuit.build import build
from boardgen.model.choice import Subject
from boardgen.purchasing.price_tables import read_prices
from boardgen.request import Request
from boardgen.sizing.size import size
from boardgen.spec.load import read_text
from boardgen.stages.lines import lines
from tests.catalogue.shipped import CATALOGUE

PRICES = Path(__file__).parents[2] / "parts" / "prices" / "demo-cad.csv"
BAND = '[band]\nlowest = "160 m"\nhighest = "30 m"\n'
CONDUCTORS = ("conductors", Subject("", "control entry", "cable"))


def sized(antennas, feeds=0, more=""):
    """A board with that many antennas, the first of them fed."""
    rows = [f'[[antenna]]\nlabel = "{n}"\n' + ('feed = "12 V 20 mA"\n' if n < feeds else "") for n in range(antennas)]
    request = Request(read_text(BAND + "".join(rows) + more), CATALOGUE)
    return request, size(request)


def relays(board):
    netlist, problems = build(*board)
    assert not [p for p in problems if p.severity in ("error", "shortfall")]
    return [c for c in netlist.components if c.part.kind == "relay"]


def test_four_turns_to_four_from_160_m():
    """Common practice, no source: 4 turns to 4 on a small two-hole core serve 75 ohm from 160 m; 3 would not."""
    _, choices = sized(4)
    for strip in ("0", "1", "2", "3", "output"):
        subject = Subject(strip, "braid breaker", "transformer")
        own, port = choices.choice("turns", subject), choices.choice("port turns", subject)
        assert (own.chosen, port.chosen) == (4, 4)
        assert 3 < own.required <= 4
        core = choices.part("turns", subject)
        assert core.attributes == core.attributes | {"size": "202", "material": "73"}
        assert max(core.figures[side].value for side in ("width", "height", "length")) < 15e-3
    assert not [p for p in choices.problems if p.id.startswith("V101")]


def test_one_line_a_relay_against_a_common_return():
    """Common practice, no source: one 12 V line works each relay, against a return that all share."""
    request, choices = sized(4)
    kinds = [line.kind for line in lines(request)]
    assert (kinds.count("select"), kinds.count("0V"), len(kinds)) == (4, 1, 5)
    relay = choices.part("relay voltage", Subject("", "selector", "relay"))
    assert relay.figures["coil voltage"].value == request.spec.control.coil == 12
    assert choices.choice("relay voltage", Subject("", "selector", "relay")).met
    nets = {net.name: {node.ref for node in net.nodes} for net in build(request, choices)[0].nets}
    coils = [c.ref for c in relays((request, choices))]
    assert len(coils) == 4
    assert all(ref in nets["0V"] for ref in coils)


@pytest.mark.parametrize(
    ("antennas", "feeds", "spare"), [(4, 0, 3), (4, 1, 2), (4, 3, 0), (4, 4, -1), (7, 0, 0), (8, 0, -1)]
)
def test_eight_conductors(antennas, feeds, spare):
    """Common practice, no source: eight conductors do for a four-way and some feeds, not for an eight-way."""
    _, choices = sized(antennas, feeds)
    value = choices.choice(*CONDUCTORS)
    assert value.achieved == 8
    assert value.achieved - value.required == spare
    assert value.met == (spare >= 0)
    assert any(p.id.startswith("V170") for p in choices.problems) == (spare < 0)


@pytest.mark.parametrize(("more", "each"), [("", 1), ("[switching]\nrelays_in_series = 2\n", 2)])
def test_relays_of_an_antenna(more, each):
    """Common practice, no source: one relay an antenna; two in series is a choice of those who want more isolation."""
    assert len(relays(sized(4, more=more))) == 4 * each


def test_a_relay_costs_about_three_dollars():
    """Common practice, no source: about 3 CAD in tens to a hundred; the demonstration prices are invented."""
    offers, problems = read_prices(PRICES.read_text(encoding="utf-8"), PRICES.name)
    assert not problems
    relay = sized(4)[1].part("relay voltage", Subject("", "selector", "relay")).key
    breaks = [b for offer in offers if offer.part == relay and offer.invented for b in offer.breaks]
    prices = [float(b.unit_price) for b in breaks if 25 <= b.quantity <= 100]
    assert len(prices) >= 2
    assert all(2.5 <= price <= 3.5 for price in prices)
