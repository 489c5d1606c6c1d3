"""The lines of the control cable: their kinds, and the nets that those of a strip are called."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from boardgen.request import Request
from boardgen.spec.strip import Strip

LineKind = Literal["select", "stage", "feed", "coil supply", "0V"]
"""select: works the relays of an antenna's choice. stage: works those of one stage, whichever antenna is selected."""


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
    return f"select {strip.name}"


def feed_net(request: Request, strip: Strip) -> str:
    """The net behind the fuse that supplies a strip's feed chokes."""
    return "feed shared" if request.spec.switching.feed_lines == "shared" else f"feed {strip.name}"


def feed_line_net(request: Request, strip: Strip) -> str:
    """The net before the fuse: a feed line of the cable, or the select line where the feed follows the selection."""
    if request.spec.switching.feed_lines == "shared":
        return "feed line shared"
    if request.spec.switching.feed_lines == "with selection" and not strip.is_output:
        return select_net(strip)
    return f"feed line {strip.name}"


def own_feed_line(request: Request, strip: Strip) -> bool:
    """Whether the strip has a feed line to itself."""
    return strip.feed is not None and feed_line_net(request, strip) == f"feed line {strip.name}"
