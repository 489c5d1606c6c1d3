"""Boards with copper that is made up, so that prediction with a layout needs no layout."""

from itertools import pairwise

from boardgen.model.figure import Figure
from boardgen.model.parasitics import CopperLoop, Parasitics
from boardgen.rf.network import network
from tests.rf.rf_boards import design


def farads(value):
    return Figure(value, "F", "computed", "made up", 0.75 * value, 1.25 * value)


def made_up(board, mutual=0.05e-12):
    """Some capacitance from every net of a contact or port to 0V, to the bus, and to those of the next strip."""
    fitted = [p for p in board.netlist.ports if board.netlist.component[p.ref].fitted]
    own = {
        p.strip: {p.centre, p.braid}
        | {n for c in board.netlist.contacts if c.strip == p.strip for n in (c.common, c.closed) if n}
        for p in fitted
    }
    found = [(net, "0V", farads(1e-12)) for nets in own.values() for net in sorted(nets - {"0V"})]
    for (_, here), (_, there) in pairwise(own.items()):
        found += [(a, b, farads(mutual)) for a in sorted(here - {"0V"}) for b in sorted(there - here - {"0V"})]
    found.append(("bus centre", "bus braid", farads(2e-12)))
    return Parasitics(tuple(found), {p.strip: loop(80e-9, 0.2) for p in fitted[:-1]})


def loop(henries, ohm):
    """Copper from a port to the output of strips 0.8 mm wide."""
    inductance = Figure(henries, "H", "computed", "made up", 0.5 * henries, 1.2 * henries)
    return CopperLoop(inductance, Figure(ohm, "ohm", "computed", "made up", 0.75 * ohm, 1.5 * ohm), 0.8e-3, 0.4e-3)


def with_layout(name, **more):
    board = design(name)
    return network(board.request, board.choices, board.netlist, parasitics=made_up(board, **more))
