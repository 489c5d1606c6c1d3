"""The directions of a station as they lie: north up, an arm for each bearing, the boxes told apart by their dashes."""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from boardgen.documents.canvas import HAIR, SMALL_MM, SOFT, TEXT_MM, WIRE_MM, Canvas
from boardgen.documents.letters import text_width_mm, wrapped

EDGE_MM, TITLE_MM = 8.0, 4.0
ARM_MM, RING_MM = 42.0, 46.0
LEADER_MM = 12.0
"""From the ring to the labels."""
LABEL_MM = 60.0
LINE_MM = 1.3 * SMALL_MM
DASHES = ("", "3 1.5", "1 1.2", "6 1.5 1 1.5", "2 0.8", "5 2.5", "0.5 0.9", "8 1 1 1 1 1")
"""One pattern a box; a plan has at most eight."""


class Arm(Struct, frozen=True):
    """A direction: its label, bearing in degrees from north over east, box and antenna in words."""

    label: str
    bearing_deg: float
    box: str
    antenna: str


class _Label(Struct, frozen=True):
    lines: tuple[str, ...]
    at: float
    """Where its middle would best lie, down from the centre."""
    tip: tuple[float, float]

    @property
    def high(self) -> float:
        return LINE_MM * len(self.lines) + 1.2


def antenna_plan(title: str, arms: Sequence[Arm]) -> str:
    """The drawing as SVG."""
    boxes = list(dict.fromkeys(arm.box for arm in arms))
    sides = {right: _labels([a for a in arms if _is_right(a) == right]) for right in (True, False)}
    tall = max([2 * RING_MM + 16.0, *(sum(label.high for label in side) for side in sides.values())])
    widths = {
        right: max([text_width_mm(line, SMALL_MM) for label in side for line in label.lines], default=0.0) + 8.0
        for right, side in sides.items()
    }
    centre_x = EDGE_MM + widths[False] + RING_MM + LEADER_MM
    centre_y = EDGE_MM + 12.0 + tall / 2
    canvas = Canvas()
    canvas.text(EDGE_MM, EDGE_MM + TEXT_MM, title, TITLE_MM, face="bold")
    _rose(canvas, centre_x, centre_y)
    for arm in arms:
        x, y = _tip(arm)
        canvas.line((centre_x, centre_y), (centre_x + x, centre_y + y), width=0.7, dashes=DASHES[boxes.index(arm.box)])
    for right, labels in sides.items():
        sign = 1 if right else -1
        edge = centre_x + sign * (RING_MM + LEADER_MM)
        turn = centre_x + sign * (RING_MM + 2.0)
        for label, y in zip(labels, _spread(labels, tall), strict=True):
            middle = centre_y + y
            # level out of the ring, then slanting: leaders of one side never cross, nor touch another arm
            level = centre_y + label.tip[1]
            canvas.line((centre_x + label.tip[0], level), (turn, level), (edge, middle), width=0.2, colour=SOFT)
            for n, line in enumerate(label.lines):
                base = middle + (n - (len(label.lines) - 1) / 2) * LINE_MM + 0.35 * SMALL_MM
                canvas.text(edge + sign * 1.5, base, line, SMALL_MM, "start" if right else "end")
    foot = centre_y + tall / 2 + 6.0
    for n, box in enumerate(boxes):
        y = foot + n * 5.0
        canvas.line((EDGE_MM, y), (EDGE_MM + 14.0, y), width=0.7, dashes=DASHES[n])
        canvas.text(EDGE_MM + 17.0, y + 1.0, f"box {box}", SMALL_MM)
    key = max(17.0 + text_width_mm(f"box {box}", SMALL_MM) for box in boxes)
    wide = max(
        centre_x + RING_MM + LEADER_MM + widths[True], EDGE_MM + text_width_mm(title, TITLE_MM, "bold"), EDGE_MM + key
    )
    return canvas.svg(wide + EDGE_MM, foot + 5.0 * len(boxes) + EDGE_MM, title)


def _rose(canvas: Canvas, x: float, y: float) -> None:
    """A ring with a mark each 30 degrees, and the four points of the compass inside it."""
    points = [
        (x + RING_MM * math.sin(math.radians(n)), y - RING_MM * math.cos(math.radians(n))) for n in range(0, 361, 5)
    ]
    canvas.line(*points, width=WIRE_MM, colour=HAIR)
    for n in range(0, 360, 30):
        sin, cos = math.sin(math.radians(n)), math.cos(math.radians(n))
        inner = RING_MM - (4.0 if n % 90 else 6.0)
        canvas.line(
            (x + inner * sin, y - inner * cos), (x + RING_MM * sin, y - RING_MM * cos), width=WIRE_MM, colour=SOFT
        )
    canvas.text(x, y - RING_MM - 2.0, "N", TEXT_MM, "middle", face="bold")


def _tip(arm: Arm) -> tuple[float, float]:
    angle = math.radians(arm.bearing_deg)
    return ARM_MM * math.sin(angle), -ARM_MM * math.cos(angle)


def _is_right(arm: Arm) -> bool:
    return arm.bearing_deg % 360 < 180


def _labels(arms: Sequence[Arm]) -> list[_Label]:
    """Labels of one side from the top down; directions of one bearing share none, but follow each other."""
    found = []
    for arm in arms:
        name = f"{arm.label}, {arm.bearing_deg:g}\N{DEGREE SIGN}"
        lines = (*wrapped(name, LABEL_MM, SMALL_MM), *wrapped(arm.antenna, LABEL_MM, SMALL_MM))
        found.append(_Label(lines, _tip(arm)[1], _tip(arm)))
    return sorted(found, key=lambda label: label.at)


def _spread(labels: Sequence[_Label], tall: float) -> list[float]:
    """Middles near where they would best lie, none over another: pushed down, then up from the foot."""
    middles: list[float] = []
    edge = -tall / 2
    for label in labels:
        middle = max(label.at, edge + label.high / 2)
        middles.append(middle)
        edge = middle + label.high / 2
    edge = tall / 2
    for n in range(len(labels) - 1, -1, -1):
        middles[n] = min(middles[n], edge - labels[n].high / 2)
        edge = middles[n] - labels[n].high / 2
    return middles
