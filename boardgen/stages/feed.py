"""The direct-current feed of a strip: chokes carry it to the coax, blocking capacitors keep it out of the rest.

It is drawn with its rail between the rows of the pair, so that nothing crosses.
"""

from __future__ import annotations

import math

from boardgen.kinds import kind_of
from boardgen.kinds.symbol import PAIR_STEPS
from boardgen.model.cell import Cell, CellPart, Pair, PinNets
from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.netlist import Component
from boardgen.model.sketch import Sketch, steps
from boardgen.model.wiring import INNER, OUTER, Use, Wiring
from boardgen.request import Request
from boardgen.spec.strip import Strip
from boardgen.stages.pen import Pen, pitch, shown, spread
from boardgen.stages.stage import StripStage
from boardgen.stages.uses import placed, two_pin

NAME = "feed"
RAIL = "feed rail"
RAIL_ROW = 4
"""Row of the feed rail."""
CHOKE_AT, BRAID_AT = 1, 4
PLAIN_RISE = 4


def fitted(request: Request, strip: Strip) -> bool:
    """Only where the strip asks for a feed."""
    return strip.feed is not None


def wiring(request: Request, strip: Strip, choices: Choices) -> Wiring:
    """Chokes, rail capacitors, and blocking capacitors in series with what follows."""
    arrangement = {
        "plain": _plain,
        "local rail": _local_rail,
        "common-mode choked": _common_mode_choked,
    }[request.spec.switching.feed_arrangement]
    uses = arrangement(strip, choices)
    blocking, inward = _blocking(strip, choices)
    return Wiring((*uses, *blocking), inward)


def _choke(strip: Strip, choices: Choices, slot: str, outer: str, inner: str) -> Use:
    subject = Subject(strip.label, NAME, slot)
    part = choices.part("choke", subject)
    return two_pin(subject, part, part.value, outer, inner, strip.fitted)


def _plain(strip: Strip, choices: Choices) -> list[Use]:
    centre, braid = OUTER
    return [
        _choke(strip, choices, "centre choke", "feed", centre),
        _choke(strip, choices, "braid choke", braid, "0V"),
    ]


def _local_rail(strip: Strip, choices: Choices) -> list[Use]:
    centre, braid = OUTER
    return [
        _choke(strip, choices, "centre choke", RAIL, centre),
        *_rail_capacitors(strip, choices),
        _choke(strip, choices, "supply choke", "feed", RAIL),
        _choke(strip, choices, "braid choke", braid, "0V"),
    ]


def _common_mode_choked(strip: Strip, choices: Choices) -> list[Use]:
    centre, braid = OUTER
    subject = Subject(strip.label, NAME, "bifilar choke")
    # the feed current enters winding A at its start and comes back through B from its end: the fluxes cancel
    pin_nets = {
        "winding A start": "feed",
        "winding A end": RAIL,
        "winding B start": "0V",
        "winding B end": braid,
    }
    return [
        _choke(strip, choices, "centre choke", RAIL, centre),
        *_rail_capacitors(strip, choices),
        placed(subject, choices.part("choke", subject), pin_nets, strip.fitted),
    ]


def _rail_capacitors(strip: Strip, choices: Choices) -> list[Use]:
    _, braid = OUTER
    subject = Subject(strip.label, NAME, "rail")
    part = choices.part("rail capacitor", subject)
    count = round(choices.choice("rail capacitor", subject).chosen / part.figures["capacitance"].value)
    return [
        two_pin(Subject(strip.label, NAME, "rail", n), part, part.value, RAIL, braid, strip.fitted)
        for n in range(1, count + 1)
    ]


def _blocking(strip: Strip, choices: Choices) -> tuple[list[Use], tuple[str, str]]:
    """One capacitor before a transformer, since its winding would short the feed; without one, both conductors."""
    part = choices.part("blocking capacitor", Subject(strip.label, NAME, "blocking"))

    def block(slot: str, outer: str, inner: str) -> Use:
        return two_pin(Subject(strip.label, NAME, slot), part, part.value, outer, inner, strip.fitted, in_series=True)

    centre = block("blocking centre", OUTER[0], INNER[0])
    if strip.braid_breaker:
        return [centre], (INNER[0], OUTER[1])
    return [centre, block("blocking braid", OUTER[1], INNER[1])], INNER


def length_m(request: Request, strip: Strip) -> float:
    """Assumed: a hand layout with strips of 20.32 mm."""
    return 27.94e-3


def symbol(parts: tuple[Component, ...], pen: Pen, pair: Pair) -> Sketch:
    """The chokes and rail capacitors, then the blocking capacitors; the pair goes on behind those."""
    by_slot = {part.subject.slot: part for part in parts}
    blocking = [part for part in parts if part.in_series]
    rail = [part for part in parts if part.subject.slot == "rail"]
    right = _draw_railed(by_slot, rail, pen, pair) if rail else _draw_plain(by_slot, pen, pair)
    pen.pair(0, right, (0, PAIR_STEPS))
    return _draw_blocked(blocking, pen, pair, right)


def _draw_plain(parts: dict[str, Component], pen: Pen, pair: Pair) -> float:
    feed = pen.up(parts["centre choke"], CHOKE_AT, 0, pair[0])
    end = CHOKE_AT + pen.room(feed)
    pen.wire((CHOKE_AT, -PLAIN_RISE), (end, -PLAIN_RISE))
    pen.name(feed, CHOKE_AT + 0.2, -PLAIN_RISE)
    pen.hang(parts["braid choke"], CHOKE_AT, PAIR_STEPS, pair[1])
    return max(end, CHOKE_AT + pitch(parts["centre choke"], parts["braid choke"]))


def _draw_railed(parts: dict[str, Component], capacitors: list[Component], pen: Pen, pair: Pair) -> float:
    """A rail between the rows: fed through a choke of one winding, or of two that the braid shares."""
    choke = parts["centre choke"]
    rail = pen.down(choke, CHOKE_AT, 0, pair[0])
    x = float(CHOKE_AT)
    for part in capacitors:
        pen.wire((x, RAIL_ROW), (x, RAIL_ROW + 2))
        pen.down(part, x, RAIL_ROW + 2, rail)
        pen.wire((x, RAIL_ROW + 6), (x, PAIR_STEPS))
        last, x = x, x + pitch(part)
    start = max(float(CHOKE_AT + pitch(choke)), last + 2) + spread(parts.get("supply choke", choke))
    if "bifilar choke" in parts:
        return _draw_two_windings(parts["bifilar choke"], pen, pair, max(start, x))
    supply = parts["supply choke"]
    pen.wire((CHOKE_AT, RAIL_ROW), (start, RAIL_ROW))
    feed = pen.across(supply, start, RAIL_ROW, rail)
    end = start + 4 + pen.room(feed)
    pen.wire((start + 4, RAIL_ROW), (end, RAIL_ROW))
    pen.name(feed, start + 4.2, RAIL_ROW)
    braid_choke = parts["braid choke"]
    pen.hang(braid_choke, BRAID_AT, PAIR_STEPS, pair[1])
    return max(end + 1, x, BRAID_AT + float(pitch(braid_choke)))


def _draw_two_windings(choke: Component, pen: Pen, pair: Pair, start: float) -> float:
    """The ends of both windings towards the rail and the braid, their starts towards feed and 0V."""
    pen.wire((CHOKE_AT, RAIL_ROW), (start, RAIL_ROW))
    roles = ("winding A start", "winding A end", "winding B start", "winding B end")
    pen.glyph(choke, "bifilar choke", (start + 4, RAIL_ROW), roles, 2, flip=True)
    pen.text((start, RAIL_ROW - 1.9), shown(choke), "ref", choke.ref)
    pen.text((start, RAIL_ROW - 0.75), choke.value, "value", choke.ref)
    joined = pen.pin_nets[choke.ref]
    feed = joined["winding A start"]
    pen.wire((start, RAIL_ROW + 3), (start, PAIR_STEPS))
    pen.mark(joined["winding B start"], start + 4, RAIL_ROW + 3)
    # clear of the words over the windings
    name_at = start + max(4.0, float(math.ceil(steps(choke.value) + 0.5)))
    end = name_at + pen.room(feed)
    pen.wire((start + 4, RAIL_ROW), (end, RAIL_ROW))
    pen.name(feed, name_at + 0.2, RAIL_ROW)
    return end + 1


def _draw_blocked(blocking: list[Component], pen: Pen, pair: Pair, right: float) -> Sketch:
    inward, rows = list(pair), [0, PAIR_STEPS]
    beyond = max(spread(part) for part in blocking)
    at = right + beyond
    for part in blocking:
        side = 0 if pair[0] in pen.pin_nets[part.ref].values() else 1
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


def cell(parts: tuple[Component, ...], pin_nets: PinNets, pair: Pair) -> Cell:
    """Every part may be turned. The pair goes on behind the blocking capacitors."""
    behind = dict(zip(("blocking centre", "blocking braid"), (0, 1), strict=True))
    inward = list(pair)
    for part in parts:
        index = behind.get(part.subject.slot)
        if index is not None:
            inward[index] = next(net for net in pin_nets[part.ref].values() if net != pair[index])
    ordered = sorted(parts, key=lambda part: not kind_of(part.part).carries_feed)
    return Cell(NAME, tuple(map(CellPart, ordered)), (inward[0], inward[1]))


FEED = StripStage(NAME, fitted, wiring, cell, symbol, behind="blocked", length_m=length_m, small_parts=True)
