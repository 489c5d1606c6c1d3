"""The selector of a strip: one or two relays that join both conductors to the bus or keep them off it.

The commons lie towards the antenna, the normally open contacts towards the bus. What an idle pair is left on hangs on
the normally closed ones.
"""

from __future__ import annotations

from boardgen.kinds.relay import REST_STEPS
from boardgen.kinds.symbol import PAIR_STEPS
from boardgen.model.cell import Cell, CellPart, Pair, PinNets
from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.netlist import Component
from boardgen.model.sketch import Sketch
from boardgen.model.wiring import INNER, OUTER, Use, Wiring
from boardgen.request import Request
from boardgen.spec.strip import Strip
from boardgen.stages.line_nets import Line, select_net
from boardgen.stages.pen import Pen, pitch
from boardgen.stages.relays import FIRST_RELAY_M, SECOND_RELAY_M, coil_uses, draw_poles, line_uses, relay_use
from boardgen.stages.stage import StripStage
from boardgen.stages.uses import drain, two_pin

NAME = "selector"
MIDDLE = ("middle centre", "middle braid")
IDLE = ("idle centre", "idle braid")
REST_ROWS = (REST_STEPS, PAIR_STEPS - REST_STEPS)
"""Rows of the normally closed contacts."""
MIDDLE_ROW = PAIR_STEPS // 2
LOAD_AT = 8
LOADS = ("termination", "termination centre", "termination braid", "idle bleeder")
"""Places of what an idle pair is left on."""


def fitted(request: Request, strip: Strip) -> bool:
    """Every antenna has a selector, unless a port is through at rest; the output has none."""
    return not strip.is_output and request.spec.switching.rest is None


def control(request: Request, strip: Strip) -> Line:
    """The select line of the antenna, with the coils of all its relays."""
    return Line("select", select_net(strip), strip.label, strip.fitted, request.spec.switching.relays_in_series)


def wiring(request: Request, strip: Strip, choices: Choices) -> Wiring:
    """Relays, what an idle antenna is left on, and the parts about each coil."""
    cascade = request.spec.switching.relays_in_series == 2
    uses = _relay(
        request, strip, choices, 1, OUTER, MIDDLE if cascade else INNER, IDLE if strip.idle == "terminated" else None
    )
    if cascade:
        # an idle middle pair is shorted and held at 0V
        uses += _relay(request, strip, choices, 2, MIDDLE, INNER, ("0V", "0V"))
    uses += _terminated(request, strip, choices) if strip.idle == "terminated" else _open(request, strip, choices)
    return Wiring((*uses, *line_uses(request, strip, choices, NAME)), INNER)


def _relay(
    request: Request,
    strip: Strip,
    choices: Choices,
    number: int,
    commons: tuple[str, str],
    opened: tuple[str, str],
    closed: tuple[str, str] | None,
) -> list[Use]:
    """A relay and the parts about its coil; contacts are centre, braid."""
    poles = {}
    for index, pole in enumerate("AB"):
        poles[f"pole {pole} common"] = commons[index]
        poles[f"pole {pole} normally open"] = opened[index]
        if closed:
            poles[f"pole {pole} normally closed"] = closed[index]
    relay = relay_use(request, strip, choices, NAME, number, poles)
    return [relay, *coil_uses(request, strip, choices, NAME, number)]


def _bleeder(request: Request, strip: Strip, choices: Choices, slot: str, net: str, to: str) -> Use:
    part = choices.part("bleeder", Subject("", "board", "bleeder"))
    return two_pin(Subject(strip.label, NAME, slot), part, part.value, net, to, strip.fitted)


def _terminated(request: Request, strip: Strip, choices: Choices) -> list[Use]:
    """Z0 between the idle conductors: two halves with their middle on 0V, or one resistor and a bleeder."""
    subject = Subject(strip.label, NAME, "termination")
    part = choices.part("termination", subject)
    centre, braid = IDLE
    if strip.split_termination:
        return [
            two_pin(Subject(strip.label, NAME, "termination centre"), part, part.value, centre, "0V", strip.fitted),
            two_pin(Subject(strip.label, NAME, "termination braid"), part, part.value, braid, "0V", strip.fitted),
        ]
    return [
        two_pin(subject, part, part.value, centre, braid, strip.fitted),
        _bleeder(request, strip, choices, "idle bleeder", braid, drain(request)),
    ]


def _open(request: Request, strip: Strip, choices: Choices) -> list[Use]:
    """Bleeders on the pair; one is enough where a winding joins its conductors."""
    braid = _bleeder(request, strip, choices, "braid bleeder", OUTER[1], drain(request))
    if strip.braid_breaker:
        return [braid]
    return [_bleeder(request, strip, choices, "centre bleeder", OUTER[0], drain(request)), braid]


def length_m(request: Request, strip: Strip) -> float:
    """With the ends of the strip and the rails."""
    return FIRST_RELAY_M + (SECOND_RELAY_M if request.spec.switching.relays_in_series == 2 else 0.0)


def symbol(parts: tuple[Component, ...], pen: Pen, pair: Pair) -> Sketch:
    """The contacts; the pair goes on behind the normally open ones of the last relay."""
    relays = [part for part in parts if part.part.kind == "relay"]
    loads = [p for p in parts if p.subject.slot in LOADS]
    at = 0.0
    for part in parts:
        if part.subject.slot in ("braid bleeder", "centre bleeder"):
            side = 0 if pair[0] in pen.pin_nets[part.ref].values() else 1
            pen.hang(part, 1, side * PAIR_STEPS, pair[side])
            at = max(at, 1.0 + pitch(part))
    pen.pair(0, at, (0, PAIR_STEPS))
    for relay in relays:
        joined = pen.pin_nets[relay.ref]
        draw_poles(relay, pen, at)
        inward = (joined["pole A normally open"], joined["pole B normally open"])
        rest = (joined.get("pole A normally closed", ""), joined.get("pole B normally closed", ""))
        width = max(8.0, 5 + pen.room(inward[0]), 5 + pen.room(inward[1]))
        if rest == ("0V", "0V"):
            _shorted(pen, at)
        elif rest[0]:
            width = max(width, _loads(loads, pen, rest, at))
        pen.pair(at + 4, at + width, (0, PAIR_STEPS))
        pen.name(inward[0], at + 4.3, 0)
        pen.name(inward[1], at + 4.3, PAIR_STEPS, below=True)
        at += width
    return pen.sketch(at, inward)


def _shorted(pen: Pen, x: float) -> None:
    """Both idle ends on 0V."""
    pen.wire((x + 4, REST_ROWS[0]), (x + 6, REST_ROWS[0]), (x + 6, REST_ROWS[1]), (x + 4, REST_ROWS[1]))
    pen.wire((x + 6, MIDDLE_ROW), (x + 8, MIDDLE_ROW))
    pen.mark("0V", x + 8, MIDDLE_ROW)


def _loads(loads: list[Component], pen: Pen, rest: Pair, x: float) -> float:
    """The resistors of an idle pair; returns how wide they are."""
    at = x + LOAD_AT
    pen.name(rest[0], x + 4.2, REST_ROWS[0])
    pen.name(rest[1], x + 4.2, REST_ROWS[1], below=True)
    by_slot = {part.subject.slot: part for part in loads}
    end = LOAD_AT + pitch(*loads)
    names = 5 + max(pen.room(net) for net in rest)
    if "termination" not in by_slot:
        pen.wire((x + 4, REST_ROWS[0]), (at, REST_ROWS[0]))
        pen.wire((x + 4, REST_ROWS[1]), (at, REST_ROWS[1]))
        middle = pen.down(by_slot["termination centre"], at, REST_ROWS[0], rest[0])
        pen.up(by_slot["termination braid"], at, REST_ROWS[1], rest[1])
        pen.wire((at, MIDDLE_ROW), (at - 2, MIDDLE_ROW))
        pen.mark(middle, at - 2, MIDDLE_ROW)
        return max(end, names)
    pen.wire((x + 4, REST_ROWS[0]), (at, REST_ROWS[0]), (at, MIDDLE_ROW - 2))
    pen.down(by_slot["termination"], at, MIDDLE_ROW - 2, rest[0])
    drain_at = at + pitch(*loads) + 3
    pen.wire((at, MIDDLE_ROW + 2), (at, REST_ROWS[1]))
    pen.wire((x + 4, REST_ROWS[1]), (drain_at, REST_ROWS[1]))
    drain = pen.up(by_slot["idle bleeder"], drain_at, REST_ROWS[1], rest[1])
    pen.wire((drain_at, MIDDLE_ROW), (drain_at - 2, MIDDLE_ROW))
    pen.mark(drain, drain_at - 2, MIDDLE_ROW)
    return max(drain_at - x + pitch(by_slot["idle bleeder"]), names)


def cell(parts: tuple[Component, ...], pin_nets: PinNets, pair: Pair) -> Cell:
    """Each relay before the parts about its coil. The pair goes on behind the last relay's normally open contacts."""
    last = [part for part in parts if part.part.kind == "relay"][-1]
    opened = pin_nets[last.ref]
    inward = (opened["pole A normally open"], opened["pole B normally open"])
    ordered = sorted(parts, key=lambda part: (_relay_of(part), part.part.kind != "relay"))
    return Cell(NAME, tuple(CellPart(p, (3,) if p.part.kind == "relay" else (0, 1, 2, 3)) for p in ordered), inward)


def _relay_of(part: Component) -> int:
    """The number of the relay that a part belongs to; what stands once on a line comes first."""
    return part.subject.number or 1


SELECTOR = StripStage(NAME, fitted, wiring, cell, symbol, behind="selected", length_m=length_m, control=control)
