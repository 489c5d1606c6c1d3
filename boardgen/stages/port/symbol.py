"""The port: a coax connector, its centre on the upper row and its braid on the lower."""

from __future__ import annotations

from boardgen.kinds.symbol import PAIR_STEPS
from boardgen.model.cell import Pair
from boardgen.model.netlist import Component
from boardgen.model.sketch import Sketch
from boardgen.stages.pen import Pen, shown


def symbol(parts: tuple[Component, ...], pen: Pen, pair: Pair) -> Sketch:
    """The pair begins here and is named."""
    (port,) = parts
    right = max(7.0, 3 + pen.room(pair[0]), 1 + pen.room(pair[1]))
    pen.glyph(port, "coax", (0, 0), ("centre", "braid"))
    pen.text((1, -1.5), shown(port), "ref", port.ref, "middle")
    pen.wire((3, 0), (right, 0))
    pen.wire((1, 2), (1, PAIR_STEPS), (right, PAIR_STEPS))
    pen.name(pair[0], 3.2, 0)
    pen.name(pair[1], 1.2, PAIR_STEPS, below=True)
    return pen.sketch(right, pair)
