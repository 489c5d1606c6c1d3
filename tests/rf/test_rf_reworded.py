"""Whatever the sentences of a design say, its figures stay."""

import pytest
from msgspec.structs import replace

from boardgen.circuit.windings import winding_rows
from boardgen.design import make_design
from boardgen.request import Request
from boardgen.rf.network import network
from boardgen.spec.load import read_text
from tests.rf.rf_boards import catalogue, text

SENTENCES = ("basis", "formula", "source", "next_limit")


@pytest.mark.parametrize(("compensation", "style"), [("where it helps", "apart"), ("none", "pair")])
def test_no_figure_is_read_from_a_sentence(compensation, style):
    """Windings lie apart where capacitors meet their leakage, else they are a pair: each has its own capacitance."""
    board = make_design(Request(read_text(text([""], f'compensation = "{compensation}"')), catalogue()))
    assert {wound.style for wound in board.choices.windings.values()} == {style}
    reworded = replace(
        board.choices,
        values=tuple(replace(c, **dict.fromkeys(SENTENCES, "in other words")) for c in board.choices.values),
    )
    pair = (network(board.request, choices, board.netlist) for choices in (board.choices, reworded))
    before, after = (
        {(e.ref, e.pairs, p.name, p.value, p.low, p.high) for e in n.elements for p in e.parameters} for n in pair
    )
    assert before == after
    one, other = (
        winding_rows(board.netlist, choices, board.catalogue.permeability) for choices in (board.choices, reworded)
    )
    assert one == other
