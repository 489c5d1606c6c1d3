"""Lengths of wire that follow from the layout."""

from math import ceil, dist

import pytest

from boardgen.board.wire_cuts import wire_cuts
from boardgen.kinds.core import LEAD_M
from tests.board.boards import made


@pytest.fixture(scope="module")
def found():
    laid, netlist, _ = made({}, 2)
    return laid.board, netlist, wire_cuts(laid.board, netlist)


def by_what(result, what):
    return {ref: cut.length_m for cut in result if cut.what == what for ref in cut.refs}


def test_links(found):
    """A 5.08 mm link goes 3 mm through the board at each end: 11.08 mm, cut at 12."""
    board, netlist, result = found
    links = by_what(result, "wire link")
    assert set(links) == {c.ref for c in netlist.of_kind("link")} != set()
    for ref, length_m in links.items():
        pads = [pad.at for pad in board.pads if pad.ref == ref]
        assert length_m == pytest.approx(ceil(dist(*pads) / 1e6 + 6) * 1e-3)


def test_leads_of_windings(found):
    """Every core is named, and what is left of the 40 mm that winding allows reaches its pads."""
    _, netlist, result = found
    leads = by_what(result, "least lead of a winding")
    assert set(leads) == {c.ref for c in netlist.of_kind("core")}
    assert all(3e-3 < length_m < LEAD_M for length_m in leads.values())


def test_pigtails(found):
    """Ports stand at the edge: a few millimetres lie over the board."""
    board, netlist, result = found
    ways = by_what(result, "way of a pigtail over the board")
    assert set(ways) == {p.ref for p in netlist.ports}
    for ref, length_m in ways.items():
        furthest = max(board.height_nm - pad.at[1] for pad in board.pads if pad.ref == ref)
        assert length_m == pytest.approx(ceil(furthest / 1e6 + 3) * 1e-3)
