"""The changeover: both poles at rest, own pair on the normally open contacts, commons towards the output."""

from __future__ import annotations

from boardgen.model.cell import Pair
from boardgen.model.netlist import Component
from boardgen.model.sketch import Sketch
from boardgen.stages.pen import Pen, pitch, shown
from boardgen.stages.symbols import PAIR_STEPS

REST = (2, PAIR_STEPS - 2)
"""Rows of the normally closed contacts."""


def symbol(parts: tuple[Component, ...], pen: Pen, pair: Pair) -> Sketch:
    """The bleeders of the pair, then the contacts; the pair of the commons goes on. Without a relay the pair passes."""
    at = 0.0
    for part in parts:
        if part.subject.slot in ("braid bleeder", "centre bleeder"):
            side = 0 if pair[0] in pen.joins[part.ref].values() else 1
            pen.hang(part, 1, side * PAIR_STEPS, pair[side])
            at = max(at, 1.0 + pitch(part))
    relay = next((part for part in parts if part.part.kind == "relay"), None)
    if relay is None:
        pen.pair(0, at, (0, PAIR_STEPS))
        return pen.sketch(at, pair)
    joined = pen.joins[relay.ref]
    inward, rest = (
        (joined[f"pole A {contact}"], joined[f"pole B {contact}"]) for contact in ("common", "normally closed")
    )
    start, at = at, at + max(4.0, 2 + max(pen.room(net) for net in rest))
    pen.pair(0, at, (0, PAIR_STEPS))
    for row, net, below in zip(REST, rest, (False, True), strict=True):
        pen.wire((start + 1, row), (at, row))
        pen.name(net, start + 1.3, row, below=below)
    for letter, row in (("A", 0), ("B", PAIR_STEPS)):
        roles = tuple(f"pole {letter} {end}" for end in ("common", "normally open", "normally closed"))
        # turned about, its moving end is on the right
        pen.glyph(relay, "pole", (at + 4, row), roles, 2, flip=letter == "A")
        pen.text((at + 2, row + (1.1 if row else -0.5)), shown(relay, letter), "ref", relay.ref, "middle")
    pen.link((at + 2, 1), (at + 2, PAIR_STEPS - 1))
    width = 5 + max(pen.room(net) for net in inward)
    pen.pair(at + 4, at + width, (0, PAIR_STEPS))
    pen.name(inward[0], at + 4.3, 0)
    pen.name(inward[1], at + 4.3, PAIR_STEPS, below=True)
    return pen.sketch(at + width, inward)
