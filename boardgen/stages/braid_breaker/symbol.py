"""The transformer between the rows, its primary towards the port, and the bleeder of the braid."""

from __future__ import annotations

import math

from boardgen.kinds.symbol import PAIR_STEPS
from boardgen.model.cell import Pair
from boardgen.model.netlist import Component
from boardgen.model.sketch import Sketch, steps
from boardgen.stages.pen import Pen, pitch, shown

ROLES = ("primary start", "primary end", "secondary start", "secondary end")


def symbol(parts: tuple[Component, ...], pen: Pen, pair: Pair) -> Sketch:
    """The pair goes on from the secondary."""
    core = next(part for part in parts if part.part.kind == "core")
    at = 2.0
    for part in parts:
        if part is not core:
            pen.hang(part, 1, PAIR_STEPS, pair[1])
            # the name of the inner braid stands clear of the bleeder's words
            at = max(at, pitch(part) - 2.0)
    pen.pair(0, at, (0, PAIR_STEPS))
    pen.glyph(core, "transformer", (at, 0), ROLES)
    pen.words(core, at + 4, PAIR_STEPS / 2 - 0.2)
    joined = pen.joins[core.ref]
    inward = (joined["secondary start"], joined["secondary end"])
    words = 1 + max(steps(core.value), steps(shown(core)))
    right = at + 3 + max(math.ceil(words), *(pen.room(net) for net in inward)) + 1
    pen.pair(at + 3, right, (0, PAIR_STEPS))
    pen.name(inward[0], at + 3.3, 0)
    pen.name(inward[1], at + 3.3, PAIR_STEPS, below=True)
    return pen.sketch(right, inward)
