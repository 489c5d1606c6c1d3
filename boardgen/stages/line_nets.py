"""The lines of the control cable: their kinds, and the nets that those of a strip are called."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from boardgen.model.netlist import NetName
from boardgen.request import Request
from boardgen.spec.strip import Strip

LineKind = Literal["select", "stage", "feed", "coil supply", "0V"]
"""select: works the relays of an antenna's choice. stage: works those of one stage, whichever antenna is selected."""


SELECT, FEED, FEED_LINE = "select", "feed", "feed line"
"""What stands before a strip's name in the nets of its lines; a feed is behind its fuse, a feed line before it."""
FEED_SHARED, FEED_LINE_SHARED, COIL_SUPPLY = "feed shared", "feed line shared", "coil supply"
"""Nets of lines that all strips share."""


class Line(Struct, frozen=True):
    """One conductor at the control entry. `strip` is the label it serves, "" where it serves several.

    `coils` are how many relays hang on it; `stage` is the stage whose own line it is.
    """

    kind: LineKind
    net: str
    strip: str = ""
    fitted: bool = True
    coils: int = 0
    stage: str = ""

    @property
    def works_relays(self) -> bool:
        """Whether coils hang on it."""
        return self.kind in ("select", "stage")


def select_net(strip: Strip) -> str:
    """The net of a strip's select line at the entry."""
    return _select(strip).spelled(strip.name)


def feed_net(request: Request, strip: Strip) -> str:
    """The net behind the fuse that supplies a strip's feed chokes."""
    return _feed(request, strip).spelled(strip.name)


def feed_line_net(request: Request, strip: Strip) -> str:
    """The net before the fuse: a feed line of the cable, or the select line where the feed follows the selection."""
    return _feed_line(request, strip).spelled(strip.name)


def own_feed_line(request: Request, strip: Strip) -> bool:
    """Whether the strip has a feed line to itself."""
    return strip.feed is not None and _feed_line(request, strip) == NetName(strip.label, before=FEED_LINE)


def line_names(request: Request, strip: Strip) -> tuple[NetName, ...]:
    """What the nets of a strip's lines are called: that of its choice, and those of its feed."""
    feed = (_feed_line(request, strip), _feed(request, strip)) if strip.feed else ()
    return (_select(strip), *feed)


def _select(strip: Strip) -> NetName:
    return NetName(strip.label, before=SELECT)


def _feed(request: Request, strip: Strip) -> NetName:
    if request.spec.switching.feed_lines == "shared":
        return NetName(after=FEED_SHARED)
    return NetName(strip.label, before=FEED)


def _feed_line(request: Request, strip: Strip) -> NetName:
    lines = request.spec.switching.feed_lines
    if lines == "shared":
        return NetName(after=FEED_LINE_SHARED)
    if lines == "with selection" and not strip.is_output:
        return _select(strip)
    return NetName(strip.label, before=FEED_LINE)
