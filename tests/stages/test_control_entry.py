"""Where the lines of the control cable end."""

from __future__ import annotations

import pytest

from boardgen.circuit.build import build
from boardgen.commissioning.bench import Bench
from boardgen.commissioning.cable import CableBench
from boardgen.documents.book.conductors import conductors
from boardgen.request import Request
from boardgen.sizing.size import size
from boardgen.spec.load import read_text
from tests.catalogue.shipped import CATALOGUE
from tests.circuit.options import DEFAULTS, specification


def bench(option: dict[str, object], ways: int, returns: int) -> Bench:
    text = specification(DEFAULTS | option, ways).replace("returns = 2", f"returns = {returns}")
    request = Request(read_text(text), CATALOGUE)
    choices = size(request)
    return Bench(request, choices, build(request, choices)[0])


@pytest.mark.parametrize(
    ("option", "ways", "returns", "common"),
    [
        # screws of common blocks: what lives there, then 0V
        ({}, 4, 1, ["0V", "0V"]),
        ({}, 4, 4, ["0V", "0V"]),
        ({}, 4, 6, ["0V", "0V"]),
        ({}, 4, 7, ["0V"] * 4),
        ({"unfitted": True}, 2, 2, ["0V", "0V"]),
        ({"drive": "low side"}, 4, 5, ["0V", "coil supply"]),
        ({"drive": "low side", "feed": "plain", "feed_lines": "shared"}, 4, 4, ["coil supply", "feed line shared"]),
    ],
)  # fmt: skip
def test_returns_take_the_screws_that_the_antennas_leave(
    option: dict[str, object], ways: int, returns: int, common: list[str]
) -> None:
    made = bench(option, ways, returns)
    joins = made.netlist.pin_nets
    ends = made.netlist.of_kind("terminal")
    assert sorted(n for c in ends if not c.subject.strip for n in joins[c.ref].values()) == sorted(common)
    told = [c.terminal for c in conductors(made)[0] if c.line and c.line.kind == "0V"]
    screws = [f"{c.ref} pin {role}" for c in ends if c.fitted for role, net in joins[c.ref].items() if net == "0V"]
    assert len(told) == returns
    assert set(told) <= set(screws)
    assert len(set(told)) == returns


def test_a_board_whose_0v_stands_at_antennas_alone_is_metered_at_one_of_them() -> None:
    made = bench({"drive": "low side", "feed": "plain", "feed_lines": "shared"}, 4, 4)
    zero = made.pin_of("0V")
    assert zero is not None
    assert made.netlist.component[zero[0]].subject.strip
    for strip in made.request.antennas:
        far = CableBench(made).far_end(strip)
        assert far.pulled_in
        assert far.others == ()
