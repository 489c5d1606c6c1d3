"""Surge protection across the pair: one tube of three electrodes between the rows, or one tube from each row."""

from __future__ import annotations

from boardgen.kinds.symbol import PAIR_STEPS
from boardgen.model.cell import Pair
from boardgen.model.netlist import Component
from boardgen.model.sketch import Sketch
from boardgen.stages.pen import Pen, pitch

AT = 3


def symbol(parts: tuple[Component, ...], pen: Pen, pair: Pair) -> Sketch:
    """The pair goes straight on."""
    right = AT + pitch(*parts)
    pen.pair(0, right, (0, PAIR_STEPS))
    if len(parts) == 1:
        _three(parts[0], pen)
    else:
        for part in parts:
            row = 0 if pair[0] in pen.joins[part.ref].values() else PAIR_STEPS
            pen.hang(part, AT, row, pair[1 if row else 0])
    return pen.sketch(right, pair)


def _three(tube: Component, pen: Pen) -> None:
    top = PAIR_STEPS // 2 - 2
    pen.glyph(tube, "gas tube of three", (AT, top), ("line A", "line B", "earth"), 1)
    pen.wire((AT, 0), (AT, top))
    pen.wire((AT, top + 4), (AT, PAIR_STEPS))
    pen.mark(pen.joins[tube.ref]["earth"], AT - 2, top + 2)
    pen.words(tube, AT + 1.6, top + 1.85)
