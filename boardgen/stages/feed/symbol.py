"""The feed: its rail between the rows, so that nothing crosses; the chokes to the supply and to 0V."""

from __future__ import annotations

import math

from boardgen.kinds.symbol import PAIR_STEPS
from boardgen.model.cell import Pair
from boardgen.model.netlist import Component
from boardgen.model.sketch import Sketch, steps
from boardgen.stages.pen import Pen, pitch, shown, spread

RAIL = 4
"""Row of the feed rail."""
AT, BRAID_AT = 1, 4
PLAIN_RISE = 4


def symbol(parts: tuple[Component, ...], pen: Pen, pair: Pair) -> Sketch:
    """The chokes and rail capacitors, then the blocking capacitors; the pair goes on behind those."""
    by_slot = {part.subject.slot: part for part in parts}
    blocking = [part for slot, part in by_slot.items() if slot.startswith("blocking")]
    if any(part.part.kind == "capacitor" for part in parts if part not in blocking):
        right = _railed(by_slot, pen, pair)
    else:
        right = _plain(by_slot, pen, pair)
    pen.pair(0, right, (0, PAIR_STEPS))
    return _blocked(blocking, pen, pair, right)


def _plain(parts: dict[str, Component], pen: Pen, pair: Pair) -> float:
    feed = pen.up(parts["centre choke"], AT, 0, pair[0])
    end = AT + pen.room(feed)
    pen.wire((AT, -PLAIN_RISE), (end, -PLAIN_RISE))
    pen.name(feed, AT + 0.2, -PLAIN_RISE)
    pen.hang(parts["braid choke"], AT, PAIR_STEPS, pair[1])
    return max(end, AT + pitch(parts["centre choke"], parts["braid choke"]))


def _railed(parts: dict[str, Component], pen: Pen, pair: Pair) -> float:
    """A rail between the rows: fed through a choke of one winding, or of two that the braid shares."""
    choke = parts["centre choke"]
    rail = pen.down(choke, AT, 0, pair[0])
    x = float(AT)
    for part in parts.values():
        if part.part.kind == "capacitor" and not part.subject.slot.startswith("blocking"):
            pen.wire((x, RAIL), (x, RAIL + 2))
            pen.down(part, x, RAIL + 2, rail)
            pen.wire((x, RAIL + 6), (x, PAIR_STEPS))
            last, x = x, x + pitch(part)
    start = max(float(AT + pitch(choke)), last + 2) + spread(parts.get("supply choke", choke))
    if "bifilar choke" in parts:
        return _two_windings(parts["bifilar choke"], pen, pair, max(start, x))
    supply = parts["supply choke"]
    pen.wire((AT, RAIL), (start, RAIL))
    feed = pen.across(supply, start, RAIL, rail)
    end = start + 4 + pen.room(feed)
    pen.wire((start + 4, RAIL), (end, RAIL))
    pen.name(feed, start + 4.2, RAIL)
    braid_choke = parts["braid choke"]
    pen.hang(braid_choke, BRAID_AT, PAIR_STEPS, pair[1])
    return max(end + 1, x, BRAID_AT + float(pitch(braid_choke)))


def _two_windings(choke: Component, pen: Pen, pair: Pair, start: float) -> float:
    """The ends of both windings towards the rail and the braid, their starts towards feed and 0V."""
    pen.wire((AT, RAIL), (start, RAIL))
    roles = ("winding A start", "winding A end", "winding B start", "winding B end")
    pen.glyph(choke, "bifilar choke", (start + 4, RAIL), roles, 2, flip=True)
    pen.text((start, RAIL - 1.9), shown(choke), "ref", choke.ref)
    pen.text((start, RAIL - 0.75), choke.value, "value", choke.ref)
    joined = pen.joins[choke.ref]
    feed = joined["winding A start"]
    pen.wire((start, RAIL + 3), (start, PAIR_STEPS))
    pen.mark(joined["winding B start"], start + 4, RAIL + 3)
    # clear of the words over the windings
    name_at = start + max(4.0, float(math.ceil(steps(choke.value) + 0.5)))
    end = name_at + pen.room(feed)
    pen.wire((start + 4, RAIL), (end, RAIL))
    pen.name(feed, name_at + 0.2, RAIL)
    return end + 1


def _blocked(blocking: list[Component], pen: Pen, pair: Pair, right: float) -> Sketch:
    inward, rows = list(pair), [0, PAIR_STEPS]
    beyond = max(spread(part) for part in blocking)
    at = right + beyond
    for part in blocking:
        side = 0 if pair[0] in pen.joins[part.ref].values() else 1
        pen.wire((right, rows[side]), (at, rows[side]))
        inward[side] = pen.across(part, at, rows[side], pair[side])
    behind = at + 4 + beyond
    end = behind + max([1.0, *(pen.room(net) for net, old in zip(inward, pair, strict=True) if net != old)])
    for side, row in enumerate(rows):
        changed = inward[side] != pair[side]
        pen.wire((at + 4 if changed else right, row), (end, row))
        if changed:
            pen.name(inward[side], behind + 0.2, row, below=side == 1)
    return pen.sketch(end, (inward[0], inward[1]))
