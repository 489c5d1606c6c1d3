"""Symbols of the schematic in the manner of IEC 60617 (shapes recalled), as plain data.

A symbol lies along x with its first terminal at the origin, in steps of the raster. Its strokes are SVG paths of
absolute lines, arcs and closed shapes; filled ones stand apart.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from msgspec import Struct

from boardgen.model.sketch import Point

ACROSS: tuple[Point, ...] = ((0, 0), (4, 0))
"""The terminals of a part with two of them."""
LEADS = "M0 0L1 0M3 0L4 0"
THROUGH = "M0 0L4 0"
BOX = "M1 -0.4L3 -0.4L3 0.4L1 0.4Z"
ARROW = "M1.4 -0.6L2.6 0L1.4 0.6ZM2.6 -0.6L2.6 0.6"
PLAIN = "part"
"""The name of a plain box."""
PAIR_STEPS = 12
"""From the row of the centre conductor down to that of the braid."""


class Symbol(Struct, frozen=True):
    """`leads` run from the terminals to the body, whose left, top, right and bottom are `box`."""

    terminals: tuple[Point, ...]
    leads: str
    outline: str
    filled: str = ""
    box: tuple[float, float, float, float] = (1, -0.6, 3, 0.6)


def arcs(x: float, y: float, count: int, radius: float, way: str) -> str:
    """Half circles in a row: along x bulging "up" or "down", along y bulging "left" or "right"."""
    step = 2 * radius
    if way in ("up", "down"):
        sweep = 1 if way == "up" else 0
        return f"M{x} {y}" + "".join(
            f"A{radius} {radius} 0 0 {sweep} {round(x + step * n, 3)} {y}" for n in range(1, count + 1)
        )
    sweep = 1 if way == "right" else 0
    return f"M{x} {y}" + "".join(
        f"A{radius} {radius} 0 0 {sweep} {x} {round(y + step * n, 3)}" for n in range(1, count + 1)
    )


def ring(x: float, y: float, radius: float) -> str:
    """A whole circle about a point."""
    return f"M{x - radius} {y}A{radius} {radius} 0 1 1 {x + radius} {y}A{radius} {radius} 0 1 1 {x - radius} {y}Z"


MARKS: Final[Mapping[str, str]] = {
    "0V": "M0 0L0 1M-0.7 1L0.7 1",
    "earth": "M0 0L0 1M-0.9 1L0.9 1M-0.55 1.35L0.55 1.35M-0.2 1.7L0.2 1.7",
}
"""The signs of the common nets, from the wire's end downward."""
