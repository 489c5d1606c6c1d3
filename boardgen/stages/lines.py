"""The lines of the control entry: which conductor of the cable carries what, and the nets they reach."""

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


def common_lines(request: Request) -> tuple[Line, ...]:
    """The lines that serve more than one antenna, and the output's feed."""
    lines = [Line("0V", "0V")] * request.spec.control.returns
    if request.low_side:
        lines.append(Line("coil supply", "coil supply"))
    if request.spec.switching.feed_lines == "shared" and any(s.feed for s in request.strips):
        lines.append(Line("feed", "feed line shared"))
    if own_feed_line(request, request.output):
        lines.append(Line("feed", feed_line_net(request, request.output), request.output.label))
    return tuple(lines)


def strip_lines(request: Request, strip: Strip) -> tuple[Line, ...]:
    """An antenna's own lines: its select line where it has a relay, and its feed line where it has one."""
    coils = request.spec.switching.relays_in_series
    found = [] if strip.rest else [Line("select", select_net(strip), strip.label, strip.fitted, coils)]
    if own_feed_line(request, strip):
        found.append(Line("feed", feed_line_net(request, strip), strip.label, strip.fitted))
    return tuple(found)


def held(request: Request) -> frozenset[str]:
    """The nets that count as 0V at radio frequency: 0V, the stake, and every line that its source holds."""
    return frozenset({"0V", "earth", *(line.net for line in lines(request))})


def lines(request: Request) -> tuple[Line, ...]:
    """Every line of the board, antennas first."""
    return (*(line for strip in request.antennas for line in strip_lines(request, strip)), *common_lines(request))
