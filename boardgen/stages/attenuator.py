"""The steps of the attenuator in the output, each a pi of three resistors with a relay on its own line.

At rest the relay leads the centre past the resistors, so that a line that fails leaves the signal whole. Both poles
are taken by the centre, broken on both sides; a balanced one would need four. The braid goes straight on: behind the
braid breaker the pair is ended against the bus, whose braid is one net. What leads past the resistors keeps a bleeder,
since nothing else holds it while the relay is operated, to 0V, where the bus has its own: at rest one to the stake
would join stake and 0V. What is between the poles is held by the shunts.
"""

from __future__ import annotations

from functools import partial

from boardgen.kinds.symbol import PAIR_STEPS
from boardgen.model.cell import Cell, CellPart, Pair, PinNets
from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.netlist import Component
from boardgen.model.sketch import Sketch
from boardgen.model.wiring import INNER, OUTER, Wiring
from boardgen.request import Request
from boardgen.spec.strip import Strip
from boardgen.spec.values import MOST_STEPS
from boardgen.stages.line_nets import Line
from boardgen.stages.pen import Pen, pitch, shown, spread
from boardgen.stages.relays import SECOND_RELAY_M, coil_uses, line_uses, relay_use
from boardgen.stages.stage import StripStage
from boardgen.stages.uses import two_pin

POLES = {pole: tuple(f"pole {pole} {end}" for end in ("common", "normally open", "normally closed")) for pole in "AB"}


def name_of(number: int) -> str:
    """What a step is called, counted from 1; its line is called the same."""
    return f"attenuator {number}"


def fitted(number: int, request: Request, strip: Strip) -> bool:
    """The output has as many as were asked for."""
    return strip.is_output and len(request.spec.output.attenuator) >= number


def control(number: int, request: Request, strip: Strip) -> Line:
    """A line of its own with one coil."""
    return Line("stage", name_of(number), strip.label, coils=1, stage=name_of(number))


def wiring(number: int, request: Request, strip: Strip, choices: Choices) -> Wiring:
    """The relay breaks the centre on both sides of the pad."""
    name = name_of(number)
    port_end, bus_end, past = f"{name} port end", f"{name} bus end", f"past the {name}"
    shunt, series = (choices.part("resistance", Subject("", name, slot)) for slot in ("shunt", "series"))
    bleeder = choices.part("bleeder", Subject("", "board", "bleeder"))
    poles = dict(zip(POLES["A"], (OUTER[0], port_end, past), strict=True))
    poles |= zip(POLES["B"], (INNER[0], bus_end, past), strict=True)
    return Wiring(
        (
            relay_use(request, strip, choices, name, 1, poles),
            two_pin(Subject(strip.label, name, "port shunt"), shunt, shunt.value, port_end, OUTER[1]),
            two_pin(Subject(strip.label, name, "series"), series, series.value, port_end, bus_end, in_series=True),
            two_pin(Subject(strip.label, name, "bus shunt"), shunt, shunt.value, bus_end, OUTER[1]),
            two_pin(Subject(strip.label, name, "bleeder"), bleeder, bleeder.value, past, "0V"),
            *coil_uses(request, strip, choices, name, 1),
            *line_uses(request, strip, choices, name),
        ),
        (INNER[0], OUTER[1]),
    )


def length_m(request: Request, strip: Strip) -> float:
    """As a second relay takes: assumed."""
    return SECOND_RELAY_M


def symbol(parts: tuple[Component, ...], pen: Pen, pair: Pair) -> Sketch:
    """Both poles in the row of the centre, the pad between them, the way past it above."""
    by_slot = {part.subject.slot: part for part in parts}
    relay, series = by_slot["relay"], by_slot["series"]
    joined = pen.pin_nets[relay.ref]
    port_end, inward = joined["pole A normally open"], joined["pole B common"]
    at = 5 + pen.room(port_end)
    series_at = at + pitch(by_slot["port shunt"]) + spread(series)
    bus_at = series_at + 5 + spread(series)
    end = bus_at + pitch(by_slot["bus shunt"]) + pen.room(joined["pole B normally open"])
    pen.glyph(relay, "pole", (0, 0), POLES["A"], flip=True)
    pen.glyph(relay, "pole", (end + 4, 0), POLES["B"], 2)
    for letter, x in (("A", 2.0), ("B", end + 2)):
        pen.text((x, 1.4), shown(relay, letter), "ref", relay.ref, "middle")
    pen.wire((4, -2), (4, -3), (end, -3), (end, -2))
    drained = pen.up(by_slot["bleeder"], at, -3, joined["pole A normally closed"])
    pen.wire((at, -7), (at - 2, -7))
    pen.mark(drained, at - 2, -7)
    pen.wire((4, 0), (series_at, 0))
    pen.name(port_end, 4.3, 0)
    behind = pen.across(series, series_at, 0, port_end)
    pen.wire((series_at + 4, 0), (end, 0))
    pen.name(behind, bus_at + pitch(by_slot["bus shunt"]) + 0.2, 0)
    for part, x, net in ((by_slot["port shunt"], at, port_end), (by_slot["bus shunt"], bus_at, behind)):
        pen.down(part, x, 0, net)
        pen.wire((x, 4), (x, PAIR_STEPS))
    right = end + 5 + pen.room(inward)
    pen.wire((end + 4, 0), (right, 0))
    pen.name(inward, end + 4.3, 0)
    pen.wire((0, PAIR_STEPS), (right, PAIR_STEPS))
    return pen.sketch(right, (inward, pair[1]))


def cell(number: int, parts: tuple[Component, ...], pin_nets: PinNets, pair: Pair) -> Cell:
    """The relay along the strip, the rest as there is room; the centre goes on behind its second pole."""
    relay = next(part for part in parts if part.part.kind == "relay")
    rest = [part for part in parts if part is not relay]
    inward = (pin_nets[relay.ref]["pole B common"], pair[1])
    return Cell(name_of(number), (CellPart(relay, (3, 1)), *map(CellPart, rest)), inward)


def _step(number: int) -> StripStage:
    return StripStage(
        name_of(number),
        partial(fitted, number),
        partial(wiring, number),
        partial(cell, number),
        symbol,
        length_m=length_m,
        control=partial(control, number),
    )


ATTENUATORS = tuple(map(_step, range(1, MOST_STEPS + 1)))
"""From the port inward."""
