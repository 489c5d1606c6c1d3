"""The station at a glance: boxes with their antennas, feeders to the selector and the receiver, control cables."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from boardgen.documents.lettering import wrapped
from boardgen.documents.palette import SOFT
from boardgen.documents.station.pen import EDGE_MM, SMALL_MM, TEXT_MM, Pen, width_mm

BOX_EMS, CABLE_EMS = 26.0, 30.0
LINE_MM = 1.4 * SMALL_MM
RECEIVER_MM = 34.0


class BoxSeen(Struct, frozen=True):
    """A box: its name, its antennas in order, and its cables in words."""

    name: str
    antennas: tuple[str, ...]
    feeder: str
    control: str
    rest: bool


def overview(title: str, boxes: Sequence[BoxSeen], source: str, selector: bool) -> str:
    """The drawing as SVG. Without a selector the one feeder goes to the receiver."""
    pen = Pen()
    pen.words(EDGE_MM, EDGE_MM + TEXT_MM, title, size_mm=4.0, bold=True)
    lists = {box.name: [line for a in box.antennas for line in wrapped(a, BOX_EMS)] for box in boxes}
    names = {box.name: wrapped(f"box {box.name}", BOX_EMS) for box in boxes}
    cables = {box.name: (wrapped(box.feeder, CABLE_EMS), wrapped(box.control, CABLE_EMS)) for box in boxes}
    wide = max(width_mm(line, TEXT_MM) for name in lists for line in (*lists[name], *names[name])) + 5.0
    reach = max(width_mm(line, SMALL_MM) for pair in cables.values() for lines in pair for line in lines) + 8.0
    far = EDGE_MM + wide + reach
    y = EDGE_MM + 12.0
    feeders: list[tuple[float, BoxSeen]] = []
    controls: list[float] = []
    for box in boxes:
        feeder, control = cables[box.name]
        high = max(
            6.0 + 4.5 * len(names[box.name]) + LINE_MM * len(lists[box.name]),
            14.0 + LINE_MM * (len(feeder) + len(control)),
        )
        pen.box(EDGE_MM, y, wide, high)
        for n, line in enumerate(names[box.name]):
            pen.words(EDGE_MM + 2.5, y + 5.5 + 4.5 * n, line, bold=True)
        below = y + 5.5 + 4.5 * len(names[box.name])
        for n, line in enumerate(lists[box.name]):
            pen.words(EDGE_MM + 2.5, below + n * LINE_MM, line, size_mm=SMALL_MM)
        feed_y = y + 3.0 + LINE_MM * len(feeder)
        control_y = feed_y + 5.0 + LINE_MM * len(control)
        _cable(pen, EDGE_MM + wide, far, feed_y, feeder, dashes="")
        _cable(pen, EDGE_MM + wide, far, control_y, control, dashes="2 1.2")
        feeders.append((feed_y, box))
        controls.append(control_y)
        y += high + 7.0
    right, low = _receiver(pen, far, feeders, controls, source, selector=selector)
    return pen.svg(max(right, EDGE_MM + width_mm(title, 4.0)) + EDGE_MM, max(y, low) + EDGE_MM, title)


def _cable(pen: Pen, left: float, right: float, y: float, lines: Sequence[str], dashes: str) -> None:
    """A cable with its words above it."""
    pen.line((left, y), (right, y), wide_mm=0.35 if dashes else 0.9, dashes=dashes)
    for n, line in enumerate(reversed(lines)):
        pen.words(left + 3.0, y - 1.6 - n * LINE_MM, line, size_mm=SMALL_MM)


def _receiver(
    pen: Pen,
    far: float,
    feeders: Sequence[tuple[float, BoxSeen]],
    controls: Sequence[float],
    source: str,
    selector: bool,
) -> tuple[float, float]:
    """Selector, receiver and source at the right; the feeder at rest is marked. The right and lower edge."""
    top, foot = feeders[0][0], feeders[-1][0]
    gather = far + 8.0 + 3.0 * len(controls)
    left = gather + 4.0
    for y, box in feeders:
        pen.line((far - 0.1, y), (left, y), wide_mm=0.9)
        if selector and box.rest:
            pen.words(left + 2.0, y + 1.0, "at rest", size_mm=SMALL_MM, colour=SOFT)
    wide = max(RECEIVER_MM, width_mm("feeder selector", TEXT_MM) + 5.0)
    words = wrapped(source, 24.0)
    source_top = max(controls[-1], foot) + 14.0
    if selector:
        pen.box(left, top - 8.0, wide, foot - top + 14.0)
        pen.words(left + 2.5, top - 3.0, "feeder selector", bold=True)
        middle = (top + foot) / 2 + (4.0 if top == foot else 0.0)
        pen.line((left + wide, middle), (left + wide + 12.0, middle), wide_mm=0.9)
        at = left + wide + 12.0
    else:
        middle, at = top, left
    receiver = width_mm("receiver", TEXT_MM) + 5.0
    pen.box(at, middle - 6.0, receiver, 12.0)
    pen.words(at + 2.5, middle + 1.0, "receiver", bold=True)
    high = 5.0 + 4.2 * len(words)
    across = max(width_mm(line, TEXT_MM) for line in words) + 5.0
    pen.box(left, source_top, across, high)
    for n, line in enumerate(words):
        pen.words(left + 2.5, source_top + 5.0 + 4.2 * n, line)
    for n, y in enumerate(controls):
        # each control cable turns down on a line of its own, so that none can be taken for another
        x = far + 3.0 * (len(controls) - n)
        level = source_top + high * (n + 1) / (len(controls) + 1)
        pen.line((far, y), (x, y), (x, level), (left, level), dashes="2 1.2")
    if selector:
        pen.line((left + 8.0, foot + 6.0), (left + 8.0, source_top), dashes="2 1.2")
        pen.words(left + 10.0, (foot + 6.0 + source_top) / 2 + 1.0, "selector lines", size_mm=SMALL_MM)
    return max(at + receiver, left + across), source_top + high
