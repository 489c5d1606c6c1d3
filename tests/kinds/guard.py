"""A stage for the trial of a kind: a varistor across the pair of the output, which goes straight on."""

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
from boardgen.stages.pen import Pen, pitch
from boardgen.stages.stage import StripStage
from boardgen.stages.uses import two_pin

NAME = "guard"
AT = 3


def fitted(request: Request, strip: Strip) -> bool:
    """Every board has one, in its output."""
    return strip.is_output


def wiring(request: Request, strip: Strip, choices: Choices) -> Wiring:
    """The first varistor that the catalogue has."""
    part = request.catalogue.of_kind("varistor")[0]
    return Wiring((two_pin(Subject(strip.label, NAME, "varistor"), part, part.value, *OUTER, strip.fitted),), OUTER)


def symbol(parts: tuple[Component, ...], pen: Pen, pair: Pair) -> Sketch:
    """Between the rows of the pair."""
    (varistor,) = parts
    top = PAIR_STEPS // 2 - 2
    right = AT + pitch(varistor)
    pen.pair(0, right, (0, PAIR_STEPS))
    pen.wire((AT, 0), (AT, top))
    pen.down(varistor, AT, top, pair[0])
    pen.wire((AT, top + 4), (AT, PAIR_STEPS))
    return pen.sketch(right, pair)


def cell(parts: tuple[Component, ...], pin_nets: PinNets, pair: Pair) -> Cell:
    """Wherever there is room beside the pair."""
    return Cell(NAME, tuple(map(CellPart, parts)), pair)


GUARD = StripStage(NAME, fitted, wiring, cell, symbol, behind="guarded")
