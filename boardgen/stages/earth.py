"""The earth: the stud of the stake, and a link, a gas tube or nothing from earth to 0V."""

from __future__ import annotations

from boardgen.model.cell import Cell, CellPart, Pair, PinNets
from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.netlist import Component
from boardgen.model.sketch import Sketch
from boardgen.model.wiring import Use, Wiring
from boardgen.request import Request
from boardgen.stages.line_nets import Line
from boardgen.stages.pen import Pen, shown, spread
from boardgen.stages.stage import BoardStage
from boardgen.stages.uses import two_pin

NAME = "earth"


def wiring(request: Request, lines: tuple[Line, ...], choices: Choices) -> Wiring:
    """Nothing at all on a board without surge protection."""
    if not request.has_earth:
        return Wiring()
    stud_at = Subject("", NAME, "stud")
    stud = choices.fixed("stud", stud_at)
    uses = [Use(stud_at, stud, "earth", {"1": "earth"})]
    if request.spec.protection.earth_to_0v == "linked":
        link_at = Subject("", NAME, "link")
        link = choices.fixed("link", link_at)
        uses.append(two_pin(link_at, link, link.value, "earth", "0V"))
    elif request.spec.protection.earth_to_0v == "gas tube":
        tube_at = Subject("", NAME, "tube")
        tube = choices.part("earth tube", tube_at)
        uses.append(two_pin(tube_at, tube, tube.value, "earth", "0V"))
    return Wiring(tuple(uses))


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


def cell(parts: tuple[Component, ...], pin_nets: PinNets, pair: Pair) -> Cell:
    """The stud above, the tube or link upright below it with its earth pin up; the pair passes."""
    stud_first = sorted(parts, key=lambda part: part.part.kind != "stud")
    turned = tuple(CellPart(part, (0,) if part.part.kind == "stud" else (3, 1)) for part in stud_first)
    return Cell(NAME, turned, pair, place="earth")


EARTH = BoardStage(NAME, wiring, "port", (cell,), symbol)
