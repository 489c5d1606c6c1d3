"""The bus: what holds the common pair of all selectors at direct current, and whether its braid is bonded to 0V."""

from __future__ import annotations

from boardgen.kinds.symbol import PAIR_STEPS
from boardgen.model.cell import Cell, CellPart, Pair, PinNets
from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.netlist import Component
from boardgen.model.sketch import Sketch
from boardgen.model.wiring import Wiring
from boardgen.request import Request
from boardgen.stages.line_nets import Line
from boardgen.stages.pen import Pen, pitch
from boardgen.stages.stage import BoardStage
from boardgen.stages.uses import two_pin

NAME = "bus"


def wiring(request: Request, lines: tuple[Line, ...], choices: Choices) -> Wiring:
    """A link or a bleeder on the braid, and a bleeder on the centre where no winding holds it."""
    bleeder = choices.part("bleeder", Subject("", "board", "bleeder"))
    bonded = request.spec.switching.bus_braid == "bonded"
    if bonded:
        link_at = Subject("", NAME, "bond")
        link = choices.fixed("link", link_at)
        uses = [two_pin(link_at, link, link.value, "bus braid", "0V")]
    else:
        uses = [two_pin(Subject("", NAME, "braid bleeder"), bleeder, bleeder.value, "bus braid", "0V")]
    if not request.output.braid_breaker:
        uses.append(two_pin(Subject("", NAME, "centre bleeder"), bleeder, bleeder.value, "bus centre", "0V"))
    return Wiring(tuple(uses))


def symbol(parts: tuple[Component, ...], pen: Pen, pair: Pair) -> Sketch:
    """The pair ends here and is named."""
    at = 2
    right = max(at + pitch(*parts), at + 2 + max(pen.room(net) for net in pair))
    pen.pair(0, right, (0, PAIR_STEPS))
    for part in parts:
        side = 0 if pair[0] in pen.pin_nets[part.ref].values() else 1
        pen.hang(part, at, side * PAIR_STEPS, pair[side])
    pen.name(pair[0], right - 0.2, 0, anchor="end")
    # clear of the words of what hangs from the braid
    pen.name(pair[1], right - 0.2, PAIR_STEPS, anchor="end")
    return pen.sketch(right, pair)


def cell(parts: tuple[Component, ...], pin_nets: PinNets, pair: Pair) -> Cell:
    """Links and bleeders, turned at will; the pair passes."""
    return Cell(NAME, tuple(map(CellPart, parts)), pair, place="above bus")


BUS = BoardStage(NAME, wiring, "bus", (cell,), symbol)
