"""The changeover: both poles at rest on the pair of the strip before, whose names stand at their ends."""

from __future__ import annotations

from boardgen.kinds.relay import REST_STEPS
from boardgen.kinds.symbol import PAIR_STEPS
from boardgen.model.cell import Pair
from boardgen.model.netlist import Component
from boardgen.model.sketch import Sketch
from boardgen.stages.pen import Pen, pitch, shown

REST = (REST_STEPS, PAIR_STEPS - REST_STEPS)
"""Rows on which the pair of the strip before comes in."""


def symbol(parts: tuple[Component, ...], pen: Pen, pair: Pair) -> Sketch:
    """The pair goes on from the commons; straight on where there is no relay."""
    at = 0.0
    for part in parts:
        if part.subject.slot.endswith("bleeder"):
            side = 0 if pair[0] in pen.joins[part.ref].values() else 1
            pen.hang(part, 1, side * PAIR_STEPS, pair[side])
            at = max(at, 1.0 + pitch(part))
    relay = next((part for part in parts if part.part.kind == "relay"), None)
    if relay is None:
        pen.pair(0, at, (0, PAIR_STEPS))
        return pen.sketch(at, pair)
    ends = pen.joins[relay.ref]
    resting = (ends["pole A normally closed"], ends["pole B normally closed"])
    poles_at = at + max(pen.room(net) for net in resting)
    pen.pair(0, poles_at, (0, PAIR_STEPS))
    for net, row in zip(resting, REST, strict=True):
        pen.wire((at, row), (poles_at, row))
        pen.name(net, at + 0.2, row, below=row != REST[0])
    inward = (ends["pole A common"], ends["pole B common"])
    _poles(relay, pen, poles_at)
    right = poles_at + 5 + max(pen.room(net) for net in inward)
    pen.pair(poles_at + 4, right, (0, PAIR_STEPS))
    pen.name(inward[0], poles_at + 5, 0)
    pen.name(inward[1], poles_at + 5, PAIR_STEPS, below=True)
    return pen.sketch(right, inward)


def _poles(relay: Component, pen: Pen, x: float) -> None:
    """Commons towards the output; the dashed link says that both move together."""
    for letter, row in (("A", 0), ("B", PAIR_STEPS)):
        roles = tuple(f"pole {letter} {end}" for end in ("common", "normally open", "normally closed"))
        pen.glyph(relay, "pole", (x + 4, row), roles, 2, flip=letter == "A")
        pen.text((x + 2, row + (1.1 if row else -0.5)), shown(relay, letter), "ref", relay.ref, "middle")
    pen.link((x + 2, 1), (x + 2, PAIR_STEPS - 1))
