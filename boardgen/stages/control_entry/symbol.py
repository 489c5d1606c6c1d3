"""The control entry: a row for each line, from its terminal past what guards it; the jacks stand apart."""

from __future__ import annotations

from boardgen.kinds import jack as jacks
from boardgen.model.netlist import Component
from boardgen.model.sketch import Sketch
from boardgen.stages.pen import Pen, pitch, shown, spread

AT_EDGE = ("terminal", "stud")
PIN_STEPS, ZERO_STEPS = 3, 4


def lines(parts: tuple[Component, ...], pen: Pen) -> list[str]:
    """The nets that have a row of their own: those of the terminals and of the guards, 0V apart."""
    found: dict[str, None] = {}
    for part in parts:
        joined = pen.joins[part.ref]
        if part.part.kind in AT_EDGE:
            found |= dict.fromkeys(joined.values())
        elif part.part.kind in ("suppressor", "fuse"):
            found.setdefault(joined[next(iter(part.part.pins))])
    return [net for net in found if net != "0V"]


def line(parts: tuple[Component, ...], pen: Pen, net: str) -> Sketch:
    """A line as far as its suppressors; it goes on at the right as the same net."""
    pins = [(p, role) for p in parts if p.part.kind in AT_EDGE for role, n in pen.joins[p.ref].items() if n == net]
    for number, (part, role) in enumerate(pins):
        y = PIN_STEPS * number
        _pin(part, role, pen, y)
        pen.wire((1, y), (2, y), (2, 0))
    pen.name(net, 1.2 if pins else 0.0, 0)
    right = (1.0 if pins else 0.0) + pen.room(net)
    start, at = (2.0 if pins else 0.0), max(5.0, right)
    for part in parts:
        if part.part.kind == "suppressor" and net in pen.joins[part.ref].values():
            pen.hang(part, at, 0, net)
            at += pitch(part)
            right = max(right, at)
    pen.wire((start, 0), (right, 0))
    return pen.sketch(right, (net, ""))


def zero(parts: tuple[Component, ...], pen: Pen) -> Sketch:
    """The terminals on 0V, one under the other."""
    y = 0
    for part in parts:
        for role, net in pen.joins[part.ref].items():
            if part.part.kind in AT_EDGE and net == "0V":
                _pin(part, role, pen, y)
                pen.wire((1, y), (2, y))
                pen.mark(net, 2, y)
                y += ZERO_STEPS
    return pen.sketch()


def _pin(part: Component, role: str, pen: Pen, y: float) -> None:
    pen.glyph(part, "stud" if part.part.kind == "stud" else "terminal", (0, y), (role,))
    single = len(pen.joins[part.ref]) == 1
    pen.text((-1, y + 0.3), shown(part, "" if single else f".{role}"), "ref", part.ref, "end")


def fused(parts: tuple[Component, ...], pen: Pen, net: str, *, begins: bool) -> Sketch:
    """The fuse of a feed and what holds the line behind it. `begins` where no line leads here."""
    fuse = next(p for p in parts if p.part.kind == "fuse" and net in pen.joins[p.ref].values())
    at = 1.0
    if begins:
        pen.name(net, 0, 0)
        at = pen.room(net)
    at += spread(fuse)
    pen.wire((0, 0), (at, 0))
    behind = pen.across(fuse, at, 0, net)
    at += 6 + spread(fuse)
    pen.wire((at - 2 - spread(fuse), 0), (at, 0))
    for part in parts:
        if part.part.kind in ("capacitor", "resistor") and behind in pen.joins[part.ref].values():
            pen.hang(part, at, 0, behind)
            at += pitch(part)
            pen.wire((at - pitch(part), 0), (at, 0))
    pen.wire((at, 0), (at + pen.room(behind), 0))
    pen.name(behind, at + 0.2, 0)
    return pen.sketch(at + pen.room(behind))


def jack(part: Component, pen: Pen) -> Sketch:
    """A jack with its pins by number, and the net of each that is used."""
    pen.glyph(part, "jack", (0, 0), tuple(str(pin + 1) for pin in range(jacks.PINS)))
    pen.text((1.5, -1.7), shown(part), "ref", part.ref, "middle")
    right = 6.0
    for pin in range(jacks.PINS):
        y = jacks.PIN_STEPS * pin
        net = pen.joins[part.ref].get(str(pin + 1))
        pen.text((2.6, y + 0.3), str(pin + 1), "pin", part.ref, "end")
        if net:
            end = 4 + pen.room(net)
            pen.wire((4, y), (end, y))
            pen.name(net, 4.2, y)
            right = max(right, end)
    return pen.sketch(right)
