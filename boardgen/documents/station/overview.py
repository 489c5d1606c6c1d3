"""The station at a glance: boxes with their antennas, feeders to the selector and the receiver, control cables."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from boardgen.documents.canvas import BODY_MM, SMALL_MM, SOFT, TEXT_MM, WIRE_MM, Canvas
from boardgen.documents.identity import named
from boardgen.documents.letters import text_width_mm, wrapped

EDGE_MM, TITLE_MM = 8.0, 4.0
BOX_MM, CABLE_MM, SOURCE_MM = 70.0, 75.0, 72.0
LINE_MM = 1.4 * SMALL_MM
RECEIVER_MM = 34.0
CROSSING_MM = 1.6
"""A control cable leaves so much free on either side of a feeder that it crosses and does not touch."""


class BoxSeen(Struct, frozen=True):
    """A box: its name, its antennas in order, and its cables in words."""

    name: str
    antennas: tuple[str, ...]
    feeder: str
    control: str
    rest: bool


def overview(title: str, boxes: Sequence[BoxSeen], source: str, selector: bool) -> str:
    """The drawing as SVG. Without a selector the one feeder goes to the receiver."""
    canvas = Canvas()
    canvas.text(EDGE_MM, EDGE_MM + TEXT_MM, title, TITLE_MM, face="bold")
    lists = {box.name: [line for a in box.antennas for line in wrapped(a, BOX_MM, SMALL_MM)] for box in boxes}
    names = {box.name: wrapped(f"box {box.name}", BOX_MM, TEXT_MM, "bold") for box in boxes}
    cables = {
        box.name: (wrapped(box.feeder, CABLE_MM, SMALL_MM), wrapped(box.control, CABLE_MM, SMALL_MM)) for box in boxes
    }
    widths = [text_width_mm(line, SMALL_MM) for lines in lists.values() for line in lines]
    widths += [text_width_mm(line, TEXT_MM, "bold") for lines in names.values() for line in lines]
    wide = max(widths) + 5.0
    reach = max(text_width_mm(line, SMALL_MM) for pair in cables.values() for lines in pair for line in lines) + 8.0
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
        canvas.rect(EDGE_MM, y, wide, high, BODY_MM)
        for n, line in enumerate(names[box.name]):
            canvas.text(EDGE_MM + 2.5, y + 5.5 + 4.5 * n, line, TEXT_MM, face="bold")
        below = y + 5.5 + 4.5 * len(names[box.name])
        for n, line in enumerate(lists[box.name]):
            canvas.text(EDGE_MM + 2.5, below + n * LINE_MM, line, SMALL_MM)
        feed_y = y + 3.0 + LINE_MM * len(feeder)
        control_y = feed_y + 5.0 + LINE_MM * len(control)
        for y_cable, lines, dashes, name in ((feed_y, feeder, "", "feeder"), (control_y, control, "2 1.2", "control")):
            with canvas.group(data_value=named("box", box.name, f"{name} cable")):
                _cable(canvas, EDGE_MM + wide, far, y_cable, lines, dashes=dashes)
        feeders.append((feed_y, box))
        controls.append(control_y)
        y += high + 7.0
    right, low = _receiver(canvas, far, feeders, controls, source, selector=selector)
    return canvas.svg(
        max(right, EDGE_MM + text_width_mm(title, TITLE_MM, "bold")) + EDGE_MM, max(y, low) + EDGE_MM, title
    )


def _cable(canvas: Canvas, left: float, right: float, y: float, lines: Sequence[str], dashes: str) -> None:
    """A cable with its words above it."""
    canvas.line((left, y), (right, y), width=WIRE_MM if dashes else 0.9, dashes=dashes)
    for n, line in enumerate(reversed(lines)):
        canvas.text(left + 3.0, y - 1.6 - n * LINE_MM, line, SMALL_MM)


def _receiver(
    canvas: Canvas,
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
        canvas.line((far - 0.1, y), (left, y), width=0.9)
        if selector and box.rest:
            canvas.text(left + 2.0, y + 1.0, "through at rest", SMALL_MM, colour=SOFT)
    wide = max(RECEIVER_MM, text_width_mm("feeder selector", TEXT_MM, "bold") + 5.0)
    words = wrapped(source, SOURCE_MM, TEXT_MM)
    source_top = max(controls[-1], foot) + 14.0
    if selector:
        canvas.rect(left, top - 8.0, wide, foot - top + 14.0, BODY_MM)
        canvas.text(left + 2.5, top - 3.0, "feeder selector", TEXT_MM, face="bold")
        middle = (top + foot) / 2 + (4.0 if top == foot else 0.0)
        canvas.line((left + wide, middle), (left + wide + 12.0, middle), width=0.9)
        at = left + wide + 12.0
    else:
        middle, at = top, left
    receiver = text_width_mm("receiver", TEXT_MM, "bold") + 5.0
    canvas.rect(at, middle - 6.0, receiver, 12.0, BODY_MM)
    canvas.text(at + 2.5, middle + 1.0, "receiver", TEXT_MM, face="bold")
    high = 5.0 + 4.2 * len(words)
    across = max(text_width_mm(line, TEXT_MM) for line in words) + 5.0
    canvas.rect(left, source_top, across, high, BODY_MM)
    for n, line in enumerate(words):
        canvas.text(left + 2.5, source_top + 5.0 + 4.2 * n, line, TEXT_MM)
    for n, y in enumerate(controls):
        # each control cable turns down on a line of its own, so that none can be taken for another
        x = far + 3.0 * (len(controls) - n)
        level = source_top + high * (n + 1) / (len(controls) + 1)
        crossed = sorted(feed for feed, _ in feeders if y < feed < level)
        ends = [y, *(end for feed in crossed for end in (feed - CROSSING_MM, feed + CROSSING_MM)), level]
        pieces = [[(x, start), (x, end)] for start, end in zip(ends[::2], ends[1::2], strict=True)]
        pieces[0].insert(0, (far, y))
        pieces[-1].append((left, level))
        for piece in pieces:
            canvas.line(*piece, width=WIRE_MM, dashes="2 1.2")
    if selector:
        canvas.line((left + 8.0, foot + 6.0), (left + 8.0, source_top), width=WIRE_MM, dashes="2 1.2")
        canvas.text(left + 10.0, (foot + 6.0 + source_top) / 2 + 1.0, "selector lines", SMALL_MM)
    return max(at + receiver, left + across), source_top + high
