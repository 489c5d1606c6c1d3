"""Draws a simple manual selector: supply, fuse, rotary switch, toggles of feeds, conductors."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from boardgen.documents.canvas import BLUE, INK, Canvas
from boardgen.documents.letters import shortened, text_width_mm
from boardgen.documents.text import Value

STEP, FIRST = 7.0, 16.0
SUPPLY_X, FUSE_X, POLE_X, CONTACT_X, WIRE_X, WIDE = 30.0, 38.0, 72.0, 92.0, 110.0, 200.0
SIZE, LINE, OUTLINE, DOT = 3.4, 0.5, 0.4, 1.1
ROOM = WIDE - WIRE_X - 2


class Selector(Struct, frozen=True):
    """What is drawn: antenna and conductor of each position and feed, the wire that goes on or back, fuse, supply."""

    positions: Sequence[tuple[str, str]]
    feeds: Sequence[tuple[str, str]]
    common: str
    fuse: Value
    supply: Value
    low_side: bool


def selector_picture(selector: Selector) -> str:
    """High side: the pole has the fused plus, `common` leads to minus. Low side: the pole has minus, `common` plus."""
    rows = [("off", ""), *selector.positions]
    last = FIRST + STEP * (len(rows) - 1)
    plus = (FIRST + last) / 2 - 5
    minus = plus + 10
    pole = minus if selector.low_side else plus
    canvas = Canvas()
    canvas.rect(2, plus - 6, SUPPLY_X - 2, 22, OUTLINE)
    canvas.text(4, plus + 1.2, "plus", SIZE)
    canvas.text(4, plus + 6.2, selector.supply.words, SIZE, data_value=selector.supply.names)
    canvas.text(4, minus + 1.2, "minus", SIZE)
    canvas.text(2, plus - 8, "supply", SIZE)
    canvas.rect(FUSE_X, plus - 2.2, 14, 4.4, OUTLINE)
    canvas.line((SUPPLY_X, plus), (FUSE_X + 14, plus), width=LINE)
    canvas.text(FUSE_X, plus - 4, "fuse", SIZE)
    right = FUSE_X + text_width_mm("fuse ", SIZE)
    canvas.text(right, plus - 4, selector.fuse.words, SIZE, data_value=selector.fuse.names)
    canvas.text(CONTACT_X - 4, FIRST - 4.5, "rotary switch", SIZE, "end")
    foot = last + STEP * len(selector.feeds)
    _toggles(canvas, selector.feeds, plus, last)
    _common(canvas, selector, plus, minus, 6.0 if selector.low_side else foot + 9)
    canvas.line((POLE_X, pole), (CONTACT_X - 1.5, FIRST + STEP), width=0.9, colour=BLUE, stroke_linecap="round")
    canvas.circle(POLE_X, pole, DOT, OUTLINE, fill=INK)
    for number, (label, wire) in enumerate(rows):
        y = FIRST + STEP * number
        if wire:
            canvas.line((CONTACT_X, y), (WIRE_X - 2, y), width=LINE)
        canvas.circle(CONTACT_X, y, DOT, OUTLINE, fill="#fff")
        words = f"{wire}, {label}" if wire else label
        canvas.text(WIRE_X, y + 1.2, shortened(words, ROOM, SIZE), SIZE)
    return canvas.svg(WIDE, foot + 14, "Manual selector", sized=False, paper="")


def _toggles(canvas: Canvas, feeds: Sequence[tuple[str, str]], plus: float, last: float) -> None:
    """A toggle switch for each feed, from the fused plus."""
    bend = FUSE_X + 26
    for n, (label, wire) in enumerate(feeds, 1):
        y = last + STEP * n
        canvas.line((bend, plus), (bend, y), (CONTACT_X - 12, y), width=LINE)
        canvas.circle(CONTACT_X - 12, y, DOT, OUTLINE, fill=INK)
        canvas.line((CONTACT_X - 12, y), (CONTACT_X - 1.5, y - 2.6), width=0.9, colour=BLUE, stroke_linecap="round")
        canvas.circle(CONTACT_X, y, DOT, OUTLINE, fill="#fff")
        canvas.line((CONTACT_X, y), (WIRE_X - 2, y), width=LINE)
        canvas.text(WIRE_X, y + 1.2, shortened(f"{wire}, feed {label}", ROOM, SIZE), SIZE)


def _common(canvas: Canvas, selector: Selector, plus: float, minus: float, common: float) -> None:
    """The wire that does not pass the switch, and the one to its pole."""
    fused, bend, end = FUSE_X + 14, FUSE_X + 20, WIRE_X - 2
    if selector.low_side:
        canvas.line((fused, plus), (bend, plus), (bend, common), (end, common), width=LINE)
        canvas.line((SUPPLY_X, minus), (POLE_X, minus), width=LINE)
    else:
        canvas.line((fused, plus), (POLE_X, plus), width=LINE)
        canvas.line((SUPPLY_X, minus), (FUSE_X, minus), (FUSE_X, common), (end, common), width=LINE)
    canvas.text(WIRE_X, common + 1.2, shortened(selector.common, ROOM, SIZE), SIZE)
