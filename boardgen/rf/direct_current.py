"""What direct current meets: the resistance of each feed, and nets that float."""

from __future__ import annotations

from msgspec import Struct

from boardgen.circuit.rules.direct_current import nothing_floats
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
    for component in netlist.of_kind("fuse", "choke", "bifilar choke"):
        part = component.part
        if part.kind == "fuse" and set(netlist.joins[component.ref].values()) == line:
            ohm += part.figures["resistance"].value
        elif part.kind != "fuse" and component.subject.strip == strip.label:
            windings = 2 if part.kind == "bifilar choke" else 1
            ohm += windings * part.figures["dc resistance"].value
        else:
            continue
        parts.append(component.ref)
    current = strip.feed.current if strip.feed else 0.0
    return FeedPath(strip.label, ohm, ohm * current, tuple(parts))


def islands(request: Request, netlist: Netlist) -> tuple[tuple[str, str], ...]:
    """Nets that no direct current can leave in some state, each with its sentence."""
    return tuple(nothing_floats(request, netlist))
