"""Surge protection of a strip: gas tubes from both conductors of the coax to earth.

One three-electrode tube lies between them, or one two-electrode tube from each.
"""

from __future__ import annotations

from boardgen.kinds.symbol import PAIR_STEPS
from boardgen.model.cell import Cell, CellPart, Pair, PinNets
from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.netlist import Component
from boardgen.model.sketch import Sketch
from boardgen.model.wiring import OUTER, Wiring
from boardgen.request import Request
from boardgen.spec.strip import Strip
from boardgen.stages.pen import Pen, pitch
from boardgen.stages.stage import StripStage
from boardgen.stages.uses import placed, two_pin

NAME = "surge"
TUBES_AT = 3
LENGTH_M = 27.94e-3
"""Assumed: a hand layout with strips of 20.32 mm."""


def fitted(request: Request, strip: Strip) -> bool:
    """Only where the strip asks for surge protection."""
    return strip.surge


def wiring(request: Request, strip: Strip, choices: Choices) -> Wiring:
    """Tubes across the outer pair; the pair itself goes straight through."""
    centre, braid = OUTER
    part = choices.part("surge tube", Subject(strip.label, NAME, "tube"))
    if part.attributes.get("electrodes") == "3":
        pin_nets = {"line A": centre, "line B": braid, "earth": "earth"}
        return Wiring((placed(Subject(strip.label, NAME, "tube"), part, pin_nets, strip.fitted),))
    return Wiring(
        (
            two_pin(Subject(strip.label, NAME, "centre tube"), part, part.value, centre, "earth", strip.fitted),
            two_pin(Subject(strip.label, NAME, "braid tube"), part, part.value, braid, "earth", strip.fitted),
        )
    )


def length_m(request: Request, strip: Strip) -> float:
    """The tubes lie beside the parts of a feed where there is one."""
    return 0.0 if any(s.feed for s in request.strips) else LENGTH_M


def symbol(parts: tuple[Component, ...], pen: Pen, pair: Pair) -> Sketch:
    """The pair goes straight on."""
    right = TUBES_AT + pitch(*parts)
    pen.pair(0, right, (0, PAIR_STEPS))
    if len(parts) == 1:
        _three(parts[0], pen)
    else:
        for part in parts:
            row = 0 if pair[0] in pen.pin_nets[part.ref].values() else PAIR_STEPS
            pen.hang(part, TUBES_AT, row, pair[1 if row else 0])
    return pen.sketch(right, pair)


def _three(tube: Component, pen: Pen) -> None:
    top = PAIR_STEPS // 2 - 2
    pen.glyph(tube, "gas tube of three", (TUBES_AT, top), ("line A", "line B", "earth"), 1)
    pen.wire((TUBES_AT, 0), (TUBES_AT, top))
    pen.wire((TUBES_AT, top + 4), (TUBES_AT, PAIR_STEPS))
    pen.mark(pen.pin_nets[tube.ref]["earth"], TUBES_AT - 2, top + 2)
    pen.words(tube, TUBES_AT + 1.6, top + 1.85)


def cell(parts: tuple[Component, ...], pin_nets: PinNets, pair: Pair) -> Cell:
    """Three electrodes lie across the strip, two along it; the pair goes straight on."""
    return Cell(NAME, tuple(CellPart(p, (0, 2) if len(p.part.pins) == 3 else (1, 3)) for p in parts), pair)


SURGE = StripStage(NAME, fitted, wiring, cell, symbol, in_series=False, length_m=length_m)
