"""The selector: both poles of each relay at rest between the rows, the coils apart; what an idle pair is left on."""

from __future__ import annotations

from boardgen.kinds.relay import REST_STEPS
from boardgen.kinds.symbol import PAIR_STEPS
from boardgen.model.cell import Pair
from boardgen.model.netlist import Component
from boardgen.model.sketch import Sketch
from boardgen.stages.pen import Pen, pitch, shown

REST = (REST_STEPS, PAIR_STEPS - REST_STEPS)
"""Rows of the normally closed contacts."""
MIDDLE = PAIR_STEPS // 2
LOAD_AT = 8


def symbol(parts: tuple[Component, ...], pen: Pen, pair: Pair) -> Sketch:
    """The contacts; the pair goes on behind the normally open ones of the last relay."""
    relays = [part for part in parts if part.part.kind == "relay"]
    loads = [p for p in parts if p.subject.slot.startswith(("termination", "idle bleeder"))]
    at = 0.0
    for part in parts:
        if part.subject.slot in ("braid bleeder", "centre bleeder"):
            side = 0 if pair[0] in pen.joins[part.ref].values() else 1
            pen.hang(part, 1, side * PAIR_STEPS, pair[side])
            at = max(at, 1.0 + pitch(part))
    pen.pair(0, at, (0, PAIR_STEPS))
    for relay in relays:
        joined = pen.joins[relay.ref]
        _poles(relay, pen, at)
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


def _poles(relay: Component, pen: Pen, x: float) -> None:
    """Commons towards the antenna; the dashed link says that both move together."""
    for letter, row in (("A", 0), ("B", PAIR_STEPS)):
        roles = tuple(f"pole {letter} {end}" for end in ("common", "normally open", "normally closed"))
        pen.glyph(relay, "pole", (x, row), roles, flip=letter == "B")
        pen.text((x + 2, row + (1.1 if row else -0.5)), shown(relay, letter), "ref", relay.ref, "middle")
    pen.link((x + 2, 1), (x + 2, PAIR_STEPS - 1))


def _shorted(pen: Pen, x: float) -> None:
    """Both idle ends on 0V."""
    pen.wire((x + 4, REST[0]), (x + 6, REST[0]), (x + 6, REST[1]), (x + 4, REST[1]))
    pen.wire((x + 6, MIDDLE), (x + 8, MIDDLE))
    pen.mark("0V", x + 8, MIDDLE)


def _loads(loads: list[Component], pen: Pen, rest: Pair, x: float) -> float:
    """The resistors of an idle pair; returns how wide they are."""
    at = x + LOAD_AT
    pen.name(rest[0], x + 4.2, REST[0])
    pen.name(rest[1], x + 4.2, REST[1], below=True)
    by_slot = {part.subject.slot: part for part in loads}
    end = LOAD_AT + pitch(*loads)
    names = 5 + max(pen.room(net) for net in rest)
    if "termination" not in by_slot:
        pen.wire((x + 4, REST[0]), (at, REST[0]))
        pen.wire((x + 4, REST[1]), (at, REST[1]))
        middle = pen.down(by_slot["termination centre"], at, REST[0], rest[0])
        pen.up(by_slot["termination braid"], at, REST[1], rest[1])
        pen.wire((at, MIDDLE), (at - 2, MIDDLE))
        pen.mark(middle, at - 2, MIDDLE)
        return max(end, names)
    pen.wire((x + 4, REST[0]), (at, REST[0]), (at, MIDDLE - 2))
    pen.down(by_slot["termination"], at, MIDDLE - 2, rest[0])
    drain_at = at + pitch(*loads) + 3
    pen.wire((at, MIDDLE + 2), (at, REST[1]))
    pen.wire((x + 4, REST[1]), (drain_at, REST[1]))
    drain = pen.up(by_slot["idle bleeder"], drain_at, REST[1], rest[1])
    pen.wire((drain_at, MIDDLE), (drain_at - 2, MIDDLE))
    pen.mark(drain, drain_at - 2, MIDDLE)
    return max(drain_at - x + pitch(by_slot["idle bleeder"]), names)
