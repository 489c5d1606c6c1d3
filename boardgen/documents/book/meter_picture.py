"""The solder side with the points that a meter touches: pins of relays, terminals and ports, seen from below."""

from __future__ import annotations

import math
from collections.abc import Sequence

from boardgen.documents.book.step_picture import EDGE_MM, OUTLINE, outlined
from boardgen.documents.canvas import BLUE, INK, PAPER, Canvas, Point
from boardgen.documents.letters import text_width_mm
from boardgen.kinds import kind_of
from boardgen.model.copper import Board
from boardgen.model.netlist import Component

LARGEST_MM, NAME_MM = 0.95, 2.0
"""Radius of a point, unless its neighbour is too near, and height of the letters of a designator."""
WORDS = {"centre": "c", "braid": "b"}
"""Pins of a port, which have no number."""


def touched(component: Component) -> bool:
    """Whether the sheets name pins of that part."""
    return component.fitted and (component.part.kind == "relay" or bool(kind_of(component.part).outside))


def meter_picture(board: Board, parts: Sequence[Component], title: str) -> str:
    """The board turned over from left to right, with the numbers of the pins of these parts."""
    wide, high = board.width_nm / 1e6, board.height_nm / 1e6
    canvas = Canvas()
    lines = Canvas()
    outlined(lines, board, (0.0, 0.0, wide, high))
    canvas.add(lines, wide, 0, mirrored=True)
    for component in parts:
        word = {number: WORDS.get(role, number) for role, number in component.part.pins.items()}
        points = {
            pad.number: (wide - pad.at[0] / 1e6, high - pad.at[1] / 1e6)
            for pad in board.pads
            if pad.ref == component.ref and pad.number in word
        }
        _points(canvas, component.ref, {word[number]: at for number, at in points.items()})
    size = (wide + 2 * EDGE_MM, high + 2 * EDGE_MM)
    return canvas.svg(*size, title, corner=(-EDGE_MM, -EDGE_MM), sized=False, paper="")


def _points(canvas: Canvas, ref: str, points: dict[str, Point]) -> None:
    places = list(points.values())
    if not places:
        return
    nearest = min((math.dist(a, b) for n, a in enumerate(places) for b in places[:n]), default=math.inf)
    radius = min(LARGEST_MM, 0.47 * nearest)
    for word, (x, y) in points.items():
        canvas.circle(x, y, radius, 0.15, OUTLINE, fill=BLUE)
        letters = min(1.35 * radius, 1.6 * radius / text_width_mm(word, 1.0, "mono"))
        canvas.text(x, y + 0.36 * letters, word, letters, "middle", face="mono", colour=PAPER)
    middle_x, middle_y = (sum(place[axis] for place in places) / len(places) for axis in (0, 1))
    aside, over = radius + text_width_mm(ref, NAME_MM, "mono") / 2, radius + NAME_MM / 2
    clear = all(abs(x - middle_x) > aside or abs(y - middle_y) > over for x, y in places)
    base = middle_y if clear else min(y for _, y in places) - radius - 0.6 - 0.36 * NAME_MM
    # at the upper edge the name stands below
    base = base if base > NAME_MM else max(y for _, y in places) + radius + 0.6 + 0.36 * NAME_MM
    canvas.text(middle_x, base + 0.36 * NAME_MM, ref, NAME_MM, "middle", face="mono", colour=INK)
