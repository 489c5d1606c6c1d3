"""The one place where a drawing seen from the solder side is turned to the component side."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from boardgen.model.part import Pad

View = Literal["top", "bottom"]
"""top: the component side. bottom: the solder side, as most makers of relays draw."""


def turned_nm(x_nm: int, y_nm: int, view: View) -> tuple[int, int]:
    """The point as seen from the component side, y upwards.

    The sheet is turned over about the x axis: pin 1 keeps its place, the row below it comes to lie above.
    """
    return (x_nm, -y_nm) if view == "bottom" else (x_nm, y_nm)


def run_of_numbers(pads: Sequence[Pad]) -> str:
    """Which way the pad numbers go round: "anticlockwise", "clockwise", or "" where they do not go round.

    A pattern entered from the wrong side, or mirrored left to right, goes round the wrong way.
    """
    if not all(pad.number.isascii() and pad.number.isdigit() for pad in pads):
        return ""
    ring = sorted(pads, key=lambda pad: int(pad.number))
    twice_area = sum(a.x_nm * b.y_nm - b.x_nm * a.y_nm for a, b in zip(ring, ring[1:] + ring[:1], strict=True))
    if twice_area == 0:
        return ""
    return "anticlockwise" if twice_area > 0 else "clockwise"
