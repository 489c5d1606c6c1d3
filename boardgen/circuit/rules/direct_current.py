"""Nothing shorts a feed and nothing floats, in any selection state."""

from __future__ import annotations

from collections.abc import Iterator

from boardgen.circuit.walk import STOPS, Walk, reached
from boardgen.model.netlist import Netlist
from boardgen.request import Request
from boardgen.stages.line_nets import feed_net
from boardgen.stages.lines import lines


def no_feed_is_shorted(request: Request, netlist: Netlist) -> Iterator[tuple[str, str]]:
    """No path of little resistance from a feed to 0V, to earth, or to another feed."""
    feeds = sorted({feed_net(request, s) for s in request.strips if s.feed and s.fitted})
    for selection in netlist.selections:
        edges = Walk(netlist, selection.operated).low_resistance
        for feed in feeds:
            met = reached(edges, feed, STOPS)
            for net in sorted((met & STOPS) | (met & set(feeds) - {feed})):
                yield feed, f'with {selection} "{feed}" is shorted to "{net}"'


def nothing_floats(request: Request, netlist: Netlist) -> Iterator[tuple[str, str]]:
    """Every net has a way to 0V or earth; lines of relays and the coil supply are held by their source."""
    held = {"0V", "earth"} | {line.net for line in lines(request) if line.works_relays or line.kind == "coil supply"}
    # a net with a single fitted pin carries nothing: the rest of its strip is not fitted
    there = [n.name for n in netlist.nets if sum(netlist.component[node.ref].fitted for node in n.nodes) > 1]
    for selection in netlist.selections:
        edges = [*Walk(netlist, selection.operated).any_resistance, *(("0V", net) for net in sorted(held))]
        anchored = reached(edges, "0V")
        for net in there:
            if net not in anchored:
                yield net, f'with {selection} "{net}" floats: static charge has no way to 0V or earth'
