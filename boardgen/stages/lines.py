"""Every line of the control cable: those that work the relays of the stages, the feeds, the coil supply and 0V."""

from __future__ import annotations

from boardgen.request import Request
from boardgen.spec.strip import Strip
from boardgen.stages import STRIP_STAGES
from boardgen.stages.line_nets import Line, feed_line_net, own_feed_line


def lines(request: Request) -> tuple[Line, ...]:
    """Every line of the board, antennas first."""
    return (*(line for strip in request.antennas for line in _of_strip(request, strip)), *_common(request))


def ac_ground_nets(request: Request) -> frozenset[str]:
    """The nets that count as 0V at radio frequency: 0V, the stake, and every line that its source holds."""
    return frozenset({"0V", "earth", *(line.net for line in lines(request))})


def _of_strip(request: Request, strip: Strip) -> tuple[Line, ...]:
    """A strip's own lines: those that work its relays, and its feed line where it has one."""
    controls = (stage.control(request, strip) for stage in STRIP_STAGES if stage.fitted(request, strip))
    found = [line for line in controls if line is not None]
    if own_feed_line(request, strip):
        found.append(Line("feed", feed_line_net(request, strip), strip.label, strip.fitted))
    return tuple(found)


def _common(request: Request) -> tuple[Line, ...]:
    """The lines that serve more than one antenna, and the output's own."""
    found = [Line("0V", "0V")] * request.spec.control.returns
    if request.low_side:
        found.append(Line("coil supply", "coil supply"))
    if request.spec.switching.feed_lines == "shared" and any(s.feed for s in request.strips):
        found.append(Line("feed", "feed line shared"))
    return (*found, *_of_strip(request, request.output))
