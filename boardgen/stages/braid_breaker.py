"""The braid breaker of a strip: a transformer that stops common-mode current.

Its primary lies towards the port, its secondary towards the board.
"""

from __future__ import annotations

import math

from boardgen.kinds.symbol import PAIR_STEPS
from boardgen.model.cell import Cell, CellPart, Pair, PinNets
from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.netlist import Component
from boardgen.model.sketch import Sketch, steps
from boardgen.model.transformer import LEADS, PRIMARY, SECONDARY
from boardgen.model.wiring import INNER, OUTER, Use, Wiring
from boardgen.request import Request
from boardgen.spec.strip import Strip
from boardgen.stages.pen import Pen, pitch, shown
from boardgen.stages.stage import StripStage
from boardgen.stages.uses import drain, placed, two_pin

NAME = "braid breaker"
PORT_END, BOARD_END = "port compensation", "board compensation"
"""Capacitors at the transformer's ends."""
ROLES = (*PRIMARY, *SECONDARY)


def fitted(request: Request, strip: Strip) -> bool:
    """Only where the strip has a braid breaker."""
    return strip.braid_breaker


def wiring(request: Request, strip: Strip, choices: Choices) -> Wiring:
    """The transformer, and a bleeder on the port's side where no feed choke carries charge away."""
    subject = Subject(strip.label, NAME, "transformer")
    port_turns = round(choices.choice("port turns", subject).chosen)
    turns = round(choices.choice("turns", subject).chosen)
    pin_nets = {
        "primary start": OUTER[0],
        "primary end": OUTER[1],
        "secondary start": INNER[0],
        "secondary end": INNER[1],
    }
    core = choices.part("turns", subject)
    transformer = placed(subject, core, pin_nets, strip.fitted, f"{port_turns}:{turns} turns")
    uses = [transformer, *_compensation(strip, choices)]
    if strip.feed is not None:
        return Wiring(tuple(uses), INNER)
    bleeder_at = Subject(strip.label, NAME, "bleeder")
    part = choices.part("bleeder", Subject("", "board", "bleeder"))
    bleeder = two_pin(bleeder_at, part, part.value, OUTER[1], drain(request), strip.fitted)
    return Wiring((*uses, bleeder), INNER)


def _compensation(strip: Strip, choices: Choices) -> list[Use]:
    """A capacitor across the pair at each end of the transformer, where its leakage is met."""
    if not choices.windings[Subject(strip.label, NAME, "transformer")].compensated:
        return []
    uses = []
    for slot, pair in ((PORT_END, OUTER), (BOARD_END, INNER)):
        at = Subject(strip.label, NAME, slot)
        part = choices.part("compensation capacitor", at)
        uses.append(two_pin(at, part, part.value, *pair, strip.fitted))
    return uses


def length_m(request: Request, strip: Strip) -> float:
    """Assumed: a hand layout with strips of 20.32 mm."""
    return 21.59e-3


def symbol(parts: tuple[Component, ...], pen: Pen, pair: Pair) -> Sketch:
    """The pair goes on from the secondary."""
    core = next(part for part in parts if part.part.kind == "core")
    ends = {part.subject.slot: part for part in parts if part.subject.slot in (PORT_END, BOARD_END)}
    at = 2.0
    for part in parts:
        if part is not core and part not in ends.values():
            pen.hang(part, 1, PAIR_STEPS, pair[1])
            # the name of the inner braid stands clear of the bleeder's words
            at = max(at, pitch(part) - 2.0)
    if PORT_END in ends:
        pen.between(ends[PORT_END], 1, PAIR_STEPS, pair[0])
        at = max(at, 1.0 + pitch(ends[PORT_END]))
    pen.pair(0, at, (0, PAIR_STEPS))
    pen.glyph(core, "transformer", (at, 0), ROLES)
    pen.words(core, at + 4, PAIR_STEPS / 2 - 0.2)
    joined = pen.pin_nets[core.ref]
    inward = (joined["secondary start"], joined["secondary end"])
    words = 1 + max(steps(core.value), steps(shown(core)))
    right = at + 3 + max(math.ceil(words), *(pen.room(net) for net in inward)) + 1
    if BOARD_END in ends:
        pen.between(ends[BOARD_END], right, PAIR_STEPS, inward[0])
        right += pitch(ends[BOARD_END])
    pen.pair(at + 3, right, (0, PAIR_STEPS))
    pen.name(inward[0], at + 3.3, 0)
    pen.name(inward[1], at + 3.3, PAIR_STEPS, below=True)
    return pen.sketch(right, inward)


def cell(parts: tuple[Component, ...], pin_nets: PinNets, pair: Pair) -> Cell:
    """Half a turn brings the primary's face to the port; starts in different holes let the pair come crossed."""
    core = next(part for part in parts if part.part.kind == "core")
    cell_parts = [CellPart(part, (2,) if part is core else (0, 1, 2, 3)) for part in parts]
    joined = pin_nets[core.ref]
    inward = (joined["secondary start"], joined["secondary end"])
    crossed = LEADS[PRIMARY[0]].hole != LEADS[SECONDARY[0]].hole
    return Cell(NAME, tuple(cell_parts), inward, crossed=crossed)


BRAID_BREAKER = StripStage(NAME, fitted, wiring, cell, symbol, behind="line", length_m=length_m)
