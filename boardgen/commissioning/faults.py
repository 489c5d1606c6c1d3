"""Common faults of a freshly built board, one strip and the board's own parts, as changes of its network."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import combinations

from boardgen.commissioning.bench import Bench, pin_node
from boardgen.direct_current.elements import Resistor
from boardgen.kinds import kind_of
from boardgen.kinds.fault import Fault, WholePart, opened
from boardgen.model.netlist import Component
from boardgen.spec.strip import Strip

DRY_OHM = 1000.0
"""A dry joint that still conducts a little: an assumed figure; a worse one reads open."""


def strip_faults(bench: Bench, strip: Strip) -> tuple[Fault, ...]:
    """What can be wrong with the parts of one port."""
    parts = [c for c in bench.fitted if c.subject.strip == strip.label]
    return tuple(fault for part in parts for fault in of_part(bench, part))


def board_faults(bench: Bench) -> tuple[Fault, ...]:
    """What can be wrong with the parts that no antenna has to itself."""
    parts = [c for c in bench.fitted if c.subject.strip in ("", bench.request.output.label)]
    return tuple(fault for part in parts for fault in of_part(bench, part))


BRIDGED_NM = 2_600_000
"""Pads no farther apart than this are easily bridged with solder: assumed, the pitch of 2.54 mm and a little."""


def _bridges(bench: Bench, part: WholePart) -> Iterator[Fault]:
    """Solder from a pin to its neighbour, where both are on different nets; of a part with two pins it is its short."""
    pads, pins = _pads(bench, part.component), part.component.part.pins
    if len(part.pin_nets) < 3:
        return
    for (one, net), (other, other_net) in combinations(part.pin_nets.items(), 2):
        at, other_at = pads.get(pins.get(one, "")), pads.get(pins.get(other, ""))
        if net != other_net and at and other_at and math.dist(at, other_at) <= BRIDGED_NM:
            numbers = " and ".join(sorted((pins[one], pins[other]), key=lambda number: (len(number), number)))
            yield part.short(one, other, f"solder bridge between pins {numbers}", f"bridge {numbers}")


def _turned_round(bench: Bench, part: WholePart) -> Iterator[Fault]:
    """A part turned by half a turn, where its pins go into the holes so: each pin is on the net of the other's hole."""
    component, pads = part.component, _pads(bench, part.component)
    x, y = ([at[axis] for at in pads.values()] for axis in (0, 1))
    hole = {at: number for number, at in pads.items()}
    opposite = {number: hole.get((min(x) + max(x) - at[0], min(y) + max(y) - at[1])) for number, at in pads.items()}
    pins = {role: opposite.get(number) for role, number in component.part.pins.items()}
    if not pads or None in pins.values():
        return
    net = {component.part.pins[role]: joined for role, joined in part.pin_nets.items()}
    pin_nets = {role: net[number] for role, number in pins.items() if number in net}
    turned = {element.name: element for element in bench.of_part(component, pin_nets=pin_nets)}
    change = (turned.get(element.name) or opened(element) for element in part.elements)
    yield Fault("turned round by half a turn", (component.ref,), tuple(change), parted=True)


def _pads(bench: Bench, component: Component) -> dict[str, tuple[int, int]]:
    footprint = bench.request.catalogue.footprints.get(component.part.footprint)
    return {pad.number: (pad.x_nm, pad.y_nm) for pad in footprint.pads} if footprint else {}


def of_part(bench: Bench, component: Component) -> Iterator[Fault]:
    """The common faults of one part, a dry joint at each pin that is reached from outside among them."""
    kind, pin_nets = kind_of(component.part), bench.netlist.pin_nets[component.ref]
    part = WholePart(component, pin_nets, tuple(bench.of_part(component)))
    yield from kind.faults(part)
    yield from _bridges(bench, part)
    if component.part.kind == "relay":
        yield from _turned_round(bench, part)
    if kind.outside:
        for role, net in pin_nets.items():
            node = pin_node(component.ref, role)
            at_pin = f" at its {role}" if kind.outside == "port" else f" at pin {role}"
            words = f"dry joint{at_pin if len(pin_nets) > 1 else ''}"
            yield part.fault(words, Resistor(f"{node} joint", node, net, DRY_OHM))
