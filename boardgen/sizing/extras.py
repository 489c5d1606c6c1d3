"""What is bought beside the parts on the board: bare board, box, connectors in its wall, wire, fixings.

Until the board is laid out its size is estimated from its strips and stages, by a hand layout (assumed).
"""

from __future__ import annotations

from boardgen.model.choice import Subject
from boardgen.model.choices import Choices
from boardgen.model.extra import Extra
from boardgen.model.outcome import warning
from boardgen.model.part import Part
from boardgen.model.problem import Problem
from boardgen.request import Request, candidates
from boardgen.sizing.box import Enclosure, Size, enclosure
from boardgen.sizing.cable_choices import SUBJECT as CABLE
from boardgen.sizing.house_end import SHIELD_IMPEDANCE_OHM, house_end
from boardgen.stages import STRIP_STAGES

PIGTAIL_M = {"back": 0.15, "lid": 0.25}
"""By where the board is screwed: one in the lid leaves a loop, so that the lid opens."""
CORNERS = 4
PITCH_M = 20.32e-3
MARGIN_M = 15.24e-3
STANDING = "assumed until the board is laid out: a hand layout with 20.32 mm strips"


def extras(
    request: Request, choices: Choices, laid_out_m: Size | None = None, screws: int = CORNERS
) -> tuple[Extra, ...]:
    """Everything that is bought beside the parts on the board, with the reason: bare board, box, ports, wire, fixings.

    Parameters
    ----------
    laid_out_m
        Width and height of the board in metres where it is laid out; else they are estimated.
    screws
        How many hold the board.

    """
    fixings = _fixings(request, choices, screws)
    house = house_end(request) if request.spec.house.entry_panel else ()
    return (*_board_and_box(request, laid_out_m), *_ports(request), *_wire(choices), *fixings, *house)


def too_large(request: Request, laid_out_m: Size | None = None) -> tuple[Problem, ...]:
    """A warning where no bare board or box on offer is as large as the board, or no box takes its connectors."""
    size_m = laid_out_m or area_m(request)
    bare, box = bare_board(request, size_m), enclosure(request, size_m)
    found = []
    for part, holds in ((bare, _holds(bare, *size_m)), (box.part, box.holds)):
        if not holds:
            size = " x ".join(f"{side * 1e3:.0f}" for side in size_m)
            state = "is" if laid_out_m else "is estimated at"
            text = f"the board {state} {size} mm, the largest {part.kind} on offer is {part.value} mm"
            hint = "Its price here is too low: ask for a quotation."
            found.append(warning("V200 size", Subject("", part.kind), text, hint))
    if box.holds and not box.wall.fits:
        found.append(_no_room(request, box))
    return tuple(found)


def _no_room(request: Request, box: Enclosure) -> Problem:
    count = sum(strip.fitted for strip in request.strips)
    text = (
        f"{count} coax connectors {request.spec.box.pitch * 1e3:g} mm apart find no room in the lower wall of any "
        f"enclosure on offer: {box.part.value} mm is the largest"
    )
    hint = "Lessen box.pitch, or add a larger enclosure to parts of your own."
    return warning("V201 connectors", Subject("", "enclosure"), text, hint)


def bare_board(request: Request, size_m: Size) -> Part:
    """The size class of the bare board: the first that it fits, else the last."""
    offered = candidates(request, "bare board", "")
    return next((part for part in offered if _holds(part, *size_m)), offered[-1])


def _holds(part: Part, width_m: float, height_m: float) -> bool:
    sides = sorted(part.figures[name].value for name in ("largest x", "largest y"))
    return all(side <= room for side, room in zip(sorted((width_m, height_m)), sides, strict=True))


def _board_and_box(request: Request, laid_out_m: Size | None) -> list[Extra]:
    width, height = laid_out_m or area_m(request)
    # a micrometre of the computer's rounding decides no digit
    wide, high = (round(side * 1e3, 6) for side in (width, height))
    size = f"{wide:.2f} x {high:.2f} mm, {'as laid out' if laid_out_m else STANDING}"
    return [
        Extra(bare_board(request, (width, height)), 1, spare=False, note=size),
        Extra(enclosure(request, (width, height)).part, 1, spare=False, note=size),
    ]


def _hardware(request: Request, short: str, quantity: float, note: str, spare: bool = True) -> Extra:
    return Extra(request.catalogue.part(f"hardware-{short}"), quantity, spare, note)


def _ports(request: Request) -> list[Extra]:
    """A bulkhead connector and a pigtail of coax for each port that has solder pads."""
    found = []
    for strip in (s for s in request.strips if s.fitted and s.connector == "pigtail"):
        low = strip.impedance < SHIELD_IMPEDANCE_OHM
        found.append(_hardware(request, "bnc-bulkhead" if low else "f-bulkhead", 1, "one a port"))
        coax = request.catalogue.part("cable-coax-50" if low else "cable-coax-75")
        length = PIGTAIL_M[request.spec.box.mounting]
        found.append(Extra(coax, length, spare=True, note=f"pigtails of {length * 1e3:g} mm, an assumed length"))
    return found


def _wire(choices: Choices) -> list[Extra]:
    return [
        Extra(choices.parts[c.part], c.chosen, spare=True, note="windings")
        for c in choices.values
        if c.role == "wire length"
    ]


def _fixings(request: Request, choices: Choices, screws: int) -> list[Extra]:
    where = "corners of the board" if screws == CORNERS else "corners and long edges of the board"
    return [
        _hardware(request, "standoff-m3", screws, where),
        _hardware(request, "screw-m3", 2 * screws, "two a standoff"),
        _hardware(request, "washer-m3", 2 * screws, "one a screw"),
        _hardware(request, "gland-m16", request.spec.control.cables, "one a control cable", spare=False),
        _hardware(request, "vent", 1, "against condensation", spare=False),
        _hardware(request, "fuse-holder", 1, "at the source end of the control cable", spare=False),
        Extra(choices.part("cable fuse", CABLE), 1, spare=True, note="at the source end, guards the cable"),
    ]


def area_m(request: Request) -> tuple[float, float]:
    """Width and height of the board in metres, estimated from its strips and the stages that they have."""
    width = len(request.strips) * PITCH_M + MARGIN_M
    height = sum(
        max((stage.length_m(request, s) for s in request.strips if stage.fitted(request, s)), default=0.0)
        for stage in STRIP_STAGES
    )
    return width, height
