"""The resistance of each feed on the board, out and back."""

from __future__ import annotations

from msgspec import Struct

from boardgen.direct_current.elements import Resistor
from boardgen.kinds import kind_of
from boardgen.kinds.direct_current import DirectPart
from boardgen.kinds.kind import Without
from boardgen.model.netlist import Netlist
from boardgen.request import Request
from boardgen.spec.strip import Strip
from boardgen.stages.line_nets import feed_line_net, feed_net


class FeedPath(Struct, frozen=True):
    """Resistance of a feed on the board, ohm at 20 degC, out and back, and its drop at the feed's current, V."""

    strip: str
    ohm: float
    drop_v: float
    parts: tuple[str, ...]


def feed_paths(request: Request, netlist: Netlist) -> tuple[FeedPath, ...]:
    """Each feed, from its terminal to the port and back to 0V: fuse, chokes and windings are all in series."""
    return tuple(_path(request, netlist, s) for s in request.strips if s.feed is not None and s.fitted)


def _path(request: Request, netlist: Netlist, strip: Strip) -> FeedPath:
    line = {feed_line_net(request, strip), feed_net(request, strip)}
    ohm, parts = 0.0, []
    for component in netlist.components:
        kind, nodes = kind_of(component.part), netlist.pin_nets[component.ref]
        if not kind.carries_feed or isinstance(kind.direct_current, Without):
            continue
        if component.subject.strip == strip.label or set(nodes.values()) == line:
            elements = kind.direct_current(DirectPart(component.ref, component, nodes, "middle"))
            ohm += sum(element.ohm for element in elements if isinstance(element, Resistor))
            parts.append(component.ref)
    current = strip.feed.current if strip.feed else 0.0
    return FeedPath(strip.label, ohm, ohm * current, tuple(parts))
