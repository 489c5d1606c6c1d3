"""The coax port of a strip: a connector or the pads of a pigtail, one conductor each."""

from __future__ import annotations

from boardgen.kinds.symbol import PAIR_STEPS
from boardgen.model.cell import Cell, CellPart, Pair, PinNets
from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.netlist import Component
from boardgen.model.sketch import Sketch
from boardgen.model.wiring import OUTER, Wiring
from boardgen.request import Request
from boardgen.spec.strip import Strip
from boardgen.stages.pen import Pen, shown
from boardgen.stages.stage import StripStage
from boardgen.stages.uses import placed

NAME = "port"


def fitted(request: Request, strip: Strip) -> bool:
    """Every strip has a port."""
    return True


def wiring(request: Request, strip: Strip, choices: Choices) -> Wiring:
    """Centre and braid of the coax. The braid touches neither 0V nor earth here."""
    subject = Subject(strip.label, NAME, "coax")
    part = choices.fixed("port", subject)
    centre, braid = OUTER
    return Wiring((placed(subject, part, {"centre": centre, "braid": braid}, strip.fitted, strip.name),))


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


def cell(parts: tuple[Component, ...], pin_nets: PinNets, pair: Pair) -> Cell:
    """The connector lies along the edge of the board; the pair goes straight on."""
    return Cell(NAME, tuple(CellPart(part, (0, 2)) for part in parts), pair)


PORT = StripStage(NAME, fitted, wiring, cell, symbol, in_series=False)
