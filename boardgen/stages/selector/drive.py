"""What works the relays of a strip: the coils with the parts about them, between the two rails of the coil."""

from __future__ import annotations

from boardgen.model.netlist import Component
from boardgen.model.sketch import Sketch
from boardgen.stages.pen import Pen, beside, pitch, spread

HIGH_STEPS, LOW_STEPS = 4, 8
"""From the upper rail to the lower, where the lower one is 0V and where it is switched."""


def drive(parts: tuple[Component, ...], pen: Pen, select: str) -> tuple[Sketch, float]:
    """The sketch, and the row on which the select line comes in from the left."""
    relays = [part for part in parts if part.part.kind == "relay"]
    coil = pen.joins[relays[0].ref]
    rails = (coil["coil +"], coil["coil -"])
    high = rails[1] == "0V"
    depth, entry = (HIGH_STEPS, 0) if high else (LOW_STEPS, LOW_STEPS)
    switched = rails[0] if high else rails[1]
    start, first = _entry(parts, pen, select, switched, entry)
    if not high:
        pen.name(rails[0], 0, 0)
        first = max(first, 1 + pen.room(rails[0]))
    pen.wire((start, entry), (first, entry))
    at = upper = lower = first
    for relay in relays:
        # the body of a coil is wide
        at += 0.0 if relay is relays[0] else 1.0
        for part in _about(relay, parts):
            upper = lower = at
            _column(part, pen, at, rails, depth)
            at += 0 if _shares_column(part, high=high) else pitch(part)
    lamp = [part for part in parts if part.subject.slot.startswith("indicator")]
    if lamp:
        upper, lower = _lamp(lamp, pen, at, rails, depth)
    pen.wire((first if high else 0, 0), (upper, 0))
    pen.wire((first, depth), (lower, depth))
    if high:
        pen.mark("0V", first, depth)
    return pen.sketch(lower), entry


def _entry(parts: tuple[Component, ...], pen: Pen, select: str, switched: str, row: float) -> tuple[float, float]:
    """The series diode where there is one; returns where the wire goes on, and where a coil may stand."""
    diode = next((part for part in parts if part.subject.slot == "series diode"), None)
    if diode is None:
        return 0.0, 1.0
    at = 1 + spread(diode)
    pen.wire((0, row), (at, row))
    pen.across(diode, at, row, select)
    behind = at + 4 + spread(diode)
    pen.name(switched, behind + 0.2, row)
    return at + 4, behind + 1 + pen.room(switched)


def _about(relay: Component, parts: tuple[Component, ...]) -> list[Component]:
    """A relay, its flyback diode and its bypass capacitors."""
    number = relay.subject.slot.removeprefix("relay ")
    slots = (f"flyback diode {number}", f"coil bypass {number}a", f"coil bypass {number}b")
    by_slot = {part.subject.slot: part for part in parts}
    return [relay, *(by_slot[slot] for slot in slots if slot in by_slot)]


def _shares_column(part: Component, *, high: bool) -> bool:
    """The second bypass of a coil hangs under the first."""
    return not high and part.subject.slot.endswith("a") and part.subject.slot.startswith("coil bypass")


def _column(part: Component, pen: Pen, x: float, rails: tuple[str, str], depth: float) -> None:
    high = rails[1] == "0V"
    if part.part.kind == "capacitor" and not high:
        upper = rails[0] in pen.joins[part.ref].values()
        pen.hang(part, x, 0 if upper else depth, rails[0 if upper else 1])
        return
    top = (depth - 4) / 2
    if part.part.kind == "relay":
        pen.glyph(part, "coil", (x, top), ("coil +", "coil -"), 1)
        pen.words(part, x + beside(part), top + 1.85)
    else:
        pen.down(part, x, top, rails[0])
    pen.wire((x, 0), (x, top))
    pen.wire((x, top + 4), (x, depth))


def _lamp(lamp: list[Component], pen: Pen, x: float, rails: tuple[str, str], depth: float) -> tuple[float, float]:
    """The lamp and its resistor in series between the rails; returns how far each rail runs to them."""
    resistor = next(part for part in lamp if part.part.kind == "resistor")
    diode = next(part for part in lamp if part is not resistor)
    at = x + spread(resistor)
    between = pen.across(resistor, at, 0, rails[0])
    # clear of the resistor's value
    column = at + 5 + spread(resistor)
    pen.wire((at + 4, 0), (column, 0))
    top = (depth - 4) / 2
    pen.wire((column, 0), (column, top))
    pen.down(diode, column, top, between)
    pen.wire((column, top + 4), (column, depth))
    return at, column
