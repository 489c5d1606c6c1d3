"""What a station takes beside its boards: cables by the metre, plugs, diodes, one fuse, the switch."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from decimal import Decimal

from msgspec import Struct

from boardgen.catalogue import Catalogue
from boardgen.model.part import Part
from boardgen.model.problem import Place, Problem
from boardgen.purchasing.needs import Need
from boardgen.request import Request
from boardgen.sizing.house_end import SHARED, family
from boardgen.station.keys import Plan
from boardgen.station.steering import Steering

SLACK = Decimal("0.05")
"""More cable than its length, for bends and what is cut off (assumed)."""
ENDS_M = Decimal(3)
"""More of each cable, for the ways up into the box and to the receiver (assumed)."""
ONE_FUSE = "for the whole station: those of the boxes' own bills are left out"
FUSES = ("cable fuse", "hardware-fuse-holder")
"""Kind of the fuse and key of its holder, of which a board bought alone brings one each."""


class Beside(Struct, frozen=True):
    """What is needed beside the boards, and what cannot be told."""

    needs: tuple[Need, ...]
    problems: tuple[Problem, ...] = ()


def beside(
    plan: Plan, requests: Mapping[str, Request], selector: Request | None, steering: Steering, diode: Part, fuse: Part
) -> Beside:
    """The needs of one station; `requests` are those of its boxes by name, with the plan's cables in them.

    A cable, plug or switch that is not in the catalogue is still needed, as a part that nobody has a price for.
    """
    catalogue = next(iter(requests.values())).catalogue
    found: list[Need] = []
    problems: list[Problem] = []
    for number, box in enumerate(plan.box, 1):
        request = requests[box.name]
        found += _control(catalogue, box.name, request)
        if request.spec.feeder.cable is None:
            problems.append(_no_feeder(number, box.name))
        else:
            found += _feeder(catalogue, box.name, request, selector)
    if steering.diodes:
        found.append(_pieces(diode, len(steering.diodes), "steering diodes", spare=True))
    found.append(_pieces(fuse, 1, f"at the source, {ONE_FUSE}", spare=True))
    found.append(_pieces(catalogue.part("hardware-fuse-holder"), 1, f"at the source, {ONE_FUSE}"))
    if any(request.spec.house.entry_panel for request in requests.values()):
        found += [_pieces(catalogue.part(key), 1, "house end: one for all cables of the house") for key in SHARED]
    if plan.source.kind == "manual switch":
        switch = _switch(catalogue, plan.source.poles, plan.source.outputs)
        count = len(next(iter(steering.positions.values())))
        found.append(_pieces(switch, count, "at the source"))
    return Beside(tuple(found), tuple(problems))


def of_board(needs: Sequence[Need]) -> tuple[Need, ...]:
    """The needs of a board of a station, without what it would have if it were alone: fuse, holder, a house's panel."""
    once = (*FUSES, *SHARED)
    return tuple(need for need in needs if need.part.kind not in once and need.part.key not in once)


def with_allowance(length_m: float) -> Decimal:
    """Whole metres to buy for a length."""
    length = Decimal(str(length_m))
    return Decimal(math.ceil(length + length * SLACK + ENDS_M))


def _metres(part: Part, length_m: float, cables: int, what: str) -> Need:
    quantity = with_allowance(length_m) * cables
    of = f"{cables} of {length_m:g} m" if cables > 1 else f"{length_m:g} m"
    allowance = f"{SLACK * 100:.0f} % and {ENDS_M} m more for bends and ends, assumed"
    return Need(part, (), quantity, "m", spare=False, note=f"{what}: {of}, {allowance}")


def _pieces(part: Part, quantity: int, note: str, *, spare: bool = False) -> Need:
    return Need(part, (), Decimal(quantity), "piece", spare, note)


def _control(catalogue: Catalogue, name: str, request: Request) -> list[Need]:
    control = request.spec.control
    size = f"{control.conductors} x {control.cable.text}"
    wanted = {"conductors": str(control.conductors), "conductor": control.cable.text}
    part = _with(catalogue, "cable", wanted) or _unlisted("cable", f"control cable {size}", size, "m")
    needs = [_metres(part, control.length, control.cables, f"control cable of {name}")]
    if control.entry == "jack":
        plug = catalogue.part("hardware-modular-plug")
        needs.append(_pieces(plug, control.cables, f"control cable of {name}, at the box", spare=True))
    return needs


def _feeder(catalogue: Catalogue, name: str, request: Request, selector: Request | None) -> list[Need]:
    feeder = request.spec.feeder
    cable = str(feeder.cable)
    part = _with(catalogue, "cable", {"feeder": cable}) or _unlisted("cable", f"coax {cable}", cable, "m")
    needs = [_metres(part, feeder.length, 1, f"feeder of {name}")] if feeder.length else []
    for socket, where in ((_family(request, ""), "the box"), (_far_family(request, selector, name), _far(selector))):
        size = part.attributes.get("plug", "")
        plug = _with(catalogue, "hardware", {"short": f"{socket.lower()}-plug-{size}"})
        plug = plug or _unlisted("hardware", f"{socket} plug for {part.number}", socket, "piece")
        needs.append(_pieces(plug, 1, f"feeder of {name}, at {where}", spare=True))
    return needs


def _far(selector: Request | None) -> str:
    return "the selector" if selector else "the receiver, if its socket is of that kind"


def _far_family(request: Request, selector: Request | None, name: str) -> str:
    return _family(selector, name) if selector else _family(request, "")


def _family(request: Request, label: str) -> str:
    """F or BNC at the port of that antenna, or at the output where there is none of that name."""
    return family(next((s for s in request.antennas if s.label == label), request.output))


def _switch(catalogue: Catalogue, poles: int, positions: int) -> Part:
    """The switch with as many poles and no more positions than are needed, or nearly so."""
    fitting = [
        part
        for part in catalogue.of_kind("switch")
        if part.figures["poles"].value >= poles and part.figures["positions"].value >= positions
    ]
    number = f"rotary switch {poles} {'pole' if poles == 1 else 'poles'} {positions} positions, break before make"
    least = min(fitting, key=lambda p: (p.figures["poles"].value, p.figures["positions"].value), default=None)
    return least or _unlisted("switch", number, f"{poles} x {positions}", "piece")


def _with(catalogue: Catalogue, kind: str, wanted: Mapping[str, str]) -> Part | None:
    """The first part with these attributes."""
    return next((p for p in catalogue.of_kind(kind) if wanted.items() <= p.attributes.items()), None)


def _unlisted(kind: str, number: str, value: str, unit: str) -> Part:
    """Something that the catalogue does not have, so that it is named among what has no price."""
    key = "-".join(number.lower().split())
    verify = ("Not in the catalogue: add it to parts of your own to have it priced.",)
    return Part(key, kind, "any", number, number, value, "assumed", "the plan", unit=unit, verify=verify)


def _no_feeder(number: int, name: str) -> Problem:
    hint = 'Write feeder = { cable = "RG-6 copper centre", length = "150 m" } in its box'
    text = f'the feeder of "{name}" has no cable by name'
    return Problem("P037 feeder", "warning", Place(key=f"box[{number}]"), text, "no feeder is ordered for it", hint)
