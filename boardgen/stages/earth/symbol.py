"""The earth stud, and what lies between earth and 0V."""

from __future__ import annotations

from boardgen.model.cell import Pair
from boardgen.model.netlist import Component
from boardgen.model.sketch import Sketch
from boardgen.stages.pen import Pen, shown, spread


def symbol(parts: tuple[Component, ...], pen: Pen, pair: Pair) -> Sketch:
    """A row from the stud to 0V, or to the sign of earth alone."""
    stud = next(part for part in parts if part.part.kind == "stud")
    pen.glyph(stud, "stud", (0, 0), ("1",))
    pen.text((-1.1, 0.3), shown(stud), "ref", stud.ref, "end")
    pen.wire((1, 0), (3, 0))
    pen.mark("earth", 3, 0)
    right = 4.0
    for part in parts:
        if part is not stud:
            at = 5 + spread(part)
            pen.wire((3, 0), (at, 0))
            other = pen.across(part, at, 0, "earth")
            pen.wire((at + 4, 0), (at + 6 + spread(part), 0))
            pen.mark(other, at + 6 + spread(part), 0)
            right = at + 7 + spread(part)
    return pen.sketch(right)
