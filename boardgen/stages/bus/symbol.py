"""What holds the bus pair: a link or a bleeder from each conductor to 0V."""

from __future__ import annotations

from boardgen.kinds.symbol import PAIR_STEPS
from boardgen.model.cell import Pair
from boardgen.model.netlist import Component
from boardgen.model.sketch import Sketch
from boardgen.stages.pen import Pen, pitch


def symbol(parts: tuple[Component, ...], pen: Pen, pair: Pair) -> Sketch:
    """The pair ends here and is named."""
    at = 2
    right = max(at + pitch(*parts), at + 2 + max(pen.room(net) for net in pair))
    pen.pair(0, right, (0, PAIR_STEPS))
    for part in parts:
        side = 0 if pair[0] in pen.joins[part.ref].values() else 1
        pen.hang(part, at, side * PAIR_STEPS, pair[side])
    pen.name(pair[0], right - 0.2, 0, anchor="end")
    # clear of the words of what hangs from the braid
    pen.name(pair[1], right - 0.2, PAIR_STEPS, anchor="end")
    return pen.sketch(right, pair)
