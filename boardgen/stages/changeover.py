"""Changeover relays, each of which leads its own port through, or at rest the pair of the strip before.

The commons lie towards the output.
"""

from __future__ import annotations

from boardgen.kinds.relay import REST_STEPS
from boardgen.kinds.symbol import PAIR_STEPS
from boardgen.model.cell import Cell, CellPart, Pair, PinNets
from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.netlist import Component
from boardgen.model.sketch import Sketch
from boardgen.model.wiring import INNER, OUTER, RESTING, Use, Wiring
from boardgen.request import Request
from boardgen.spec.strip import Strip
from boardgen.stages.line_nets import Line, select_net
from boardgen.stages.pen import Pen, pitch
from boardgen.stages.relays import FIRST_RELAY_M, coil_uses, draw_poles, line_uses, relay_use
from boardgen.stages.stage import StripStage
from boardgen.stages.uses import drain, two_pin

NAME = "changeover"
BLEEDERS = ("centre bleeder", "braid bleeder")
REST_ROWS = (REST_STEPS, PAIR_STEPS - REST_STEPS)
"""Rows on which the pair of the strip before comes in."""


def fitted(request: Request, strip: Strip) -> bool:
    """Every port has one where a port is through at rest; that port's own has no relay."""
    return request.spec.switching.rest is not None and not strip.is_output


def control(request: Request, strip: Strip) -> Line | None:
    """The select line of the port; none for the port at rest, which has no relay."""
    return None if strip.rest else Line("select", select_net(strip), strip.label, strip.fitted, 1)


def wiring(request: Request, strip: Strip, choices: Choices) -> Wiring:
    """The relay, the bleeders of the idle pair, and the parts about the coil."""
    bleeders = _bleeders(request, strip, choices)
    if strip.rest:
        return Wiring(bleeders)
    poles = {}
    for index, pole in enumerate("AB"):
        poles[f"pole {pole} common"] = INNER[index]
        poles[f"pole {pole} normally open"] = OUTER[index]
        poles[f"pole {pole} normally closed"] = RESTING[index]
    relay = relay_use(request, strip, choices, NAME, 1, poles)
    about = (*coil_uses(request, strip, choices, NAME, 1), *line_uses(request, strip, choices, NAME))
    return Wiring((relay, *bleeders, *about), INNER)


def _bleeders(request: Request, strip: Strip, choices: Choices) -> tuple[Use, ...]:
    """One on each conductor of the pair; one is enough where a winding joins them."""
    bleeder = choices.part("bleeder", Subject("", "board", "bleeder"))
    first = 1 if strip.braid_breaker else 0
    return tuple(
        two_pin(Subject(strip.label, NAME, slot), bleeder, bleeder.value, net, drain(request))
        for slot, net in list(zip(BLEEDERS, OUTER, strict=True))[first:]
    )


def length_m(request: Request, strip: Strip) -> float:
    """With the ends of the strip and the rails."""
    return FIRST_RELAY_M


def symbol(parts: tuple[Component, ...], pen: Pen, pair: Pair) -> Sketch:
    """The pair goes on from the commons; straight on where there is no relay."""
    at = 0.0
    for part in parts:
        if part.subject.slot in BLEEDERS:
            side = 0 if pair[0] in pen.pin_nets[part.ref].values() else 1
            pen.hang(part, 1, side * PAIR_STEPS, pair[side])
            at = max(at, 1.0 + pitch(part))
    relay = next((part for part in parts if part.part.kind == "relay"), None)
    if relay is None:
        pen.pair(0, at, (0, PAIR_STEPS))
        return pen.sketch(at, pair)
    ends = pen.pin_nets[relay.ref]
    resting = (ends["pole A normally closed"], ends["pole B normally closed"])
    poles_at = at + max(pen.room(net) for net in resting)
    pen.pair(0, poles_at, (0, PAIR_STEPS))
    for net, row in zip(resting, REST_ROWS, strict=True):
        pen.wire((at, row), (poles_at, row))
        pen.name(net, at + 0.2, row, below=row != REST_ROWS[0])
    inward = (ends["pole A common"], ends["pole B common"])
    draw_poles(relay, pen, poles_at, mirrored=True)
    right = poles_at + 5 + max(pen.room(net) for net in inward)
    pen.pair(poles_at + 4, right, (0, PAIR_STEPS))
    pen.name(inward[0], poles_at + 5, 0)
    pen.name(inward[1], poles_at + 5, PAIR_STEPS, below=True)
    return pen.sketch(right, inward)


def cell(parts: tuple[Component, ...], pin_nets: PinNets, pair: Pair) -> Cell:
    """The resting pair comes from the rails; only the commons' pair leaves in the middle. No relay: the pair passes."""
    relay = next((part for part in parts if part.part.kind == "relay"), None)
    if relay is None:
        return Cell(NAME, tuple(map(CellPart, parts)), pair)
    ends = pin_nets[relay.ref]
    inward, resting = (
        (ends[f"pole A {contact}"], ends[f"pole B {contact}"]) for contact in ("common", "normally closed")
    )
    rest = [part for part in parts if part is not relay]
    return Cell(NAME, (CellPart(relay, (3,)), *map(CellPart, rest)), inward, resting=resting)


CHANGEOVER = StripStage(NAME, fitted, wiring, cell, symbol, chained=True, length_m=length_m, control=control)
