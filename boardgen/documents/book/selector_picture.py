"""Draws a simple manual selector: supply, fuse, rotary switch, conductors."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from boardgen.documents.page.svg import box, dot, drawing, path, words
from boardgen.documents.palette import BLUE

STEP, FIRST = 7.0, 16.0
SUPPLY_X, FUSE_X, POLE_X, CONTACT_X, WIRE_X, WIDE = 30.0, 38.0, 72.0, 92.0, 110.0, 200.0
LONGEST = 24
"""Letters of a label that are drawn; the list below the drawing has it whole."""


class Selector(Struct, frozen=True):
    """What is drawn: antenna and conductor of each position, the wire that goes on or back, fuse, supply."""

    positions: Sequence[tuple[str, str]]
    common: str
    fuse: str
    volts: str
    low_side: bool


def selector_picture(selector: Selector) -> str:
    """High side: the pole has the fused plus, `common` leads to minus. Low side: the pole has minus, `common` plus."""
    rows = [("off", ""), *selector.positions]
    last = FIRST + STEP * (len(rows) - 1)
    plus = (FIRST + last) / 2 - 5
    minus = plus + 10
    pole = minus if selector.low_side else plus
    common = 6.0 if selector.low_side else last + 9
    found = [
        box(2, plus - 6, SUPPLY_X - 2, 22),
        words(4, plus + 1.2, f"+ {selector.volts}"),
        words(4, minus + 1.2, "minus"),
        words(2, plus - 8, "supply"),
        box(FUSE_X, plus - 2.2, 14, 4.4),
        path(f"M{SUPPLY_X} {plus:g}H{FUSE_X + 14}"),
        words(FUSE_X, plus - 4, selector.fuse),
        words(CONTACT_X - 4, FIRST - 4.5, "rotary switch", "end"),
        *_common(selector, plus, minus, common),
        path(f"M{POLE_X:g} {pole:g}L{CONTACT_X - 1.5:g} {FIRST + STEP:g}", BLUE, 0.9),
        dot(POLE_X, pole),
    ]
    for number, (label, wire) in enumerate(rows):
        y = FIRST + STEP * number
        if wire:
            found.append(path(f"M{CONTACT_X:g} {y:g}H{WIRE_X - 2:g}"))
        found.append(dot(CONTACT_X, y, fill="#fff"))
        found.append(words(WIRE_X, y + 1.2, f"{wire}, {_short(label)}" if wire else label))
    return drawing(WIDE, last + 14, "Manual selector", found)


def _common(selector: Selector, plus: float, minus: float, common: float) -> list[str]:
    """The wire that does not pass the switch, and the one to its pole."""
    fused, bend = FUSE_X + 14, FUSE_X + 20
    if selector.low_side:
        ways = (f"M{fused} {plus:g}H{bend}V{common:g}H{WIRE_X - 2:g}", f"M{SUPPLY_X} {minus:g}H{POLE_X:g}")
    else:
        ways = (f"M{fused} {plus:g}H{POLE_X:g}", f"M{SUPPLY_X} {minus:g}H{FUSE_X}V{common:g}H{WIRE_X - 2:g}")
    return [*map(path, ways), words(WIRE_X, common + 1.2, _short(selector.common, 40))]


def _short(text: str, most: int = LONGEST) -> str:
    return text if len(text) <= most else f"{text[: most - 1]}…"
