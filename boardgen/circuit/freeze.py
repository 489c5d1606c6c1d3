"""Freezes placed parts into a Netlist of plain data."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from boardgen.circuit.compose import Placement
from boardgen.model.netlist import Component, Contact, Net, Netlist, NetName, Node, Port
from boardgen.model.selection import ControlLine
from boardgen.request import Request
from boardgen.stages.line_nets import Line
from boardgen.stages.lines import lines


def freeze(request: Request, placements: Iterable[Placement]) -> Netlist:
    """The netlist: nets in order of their first pin, pins in order of their components."""
    placements = tuple(placements)
    nets: dict[str, list[Node]] = {}
    free: list[Node] = []
    for placement in placements:
        for role, pad in placement.use.part.pins.items():
            node = Node(placement.ref, pad, role)
            net = placement.use.pin_nets.get(role)
            free.append(node) if net is None else nets.setdefault(net, []).append(node)
    called = {net: name for placement in placements for net, name in placement.called.items()}
    return Netlist(
        title=request.spec.title,
        revision=request.spec.revision,
        components=tuple(map(_component, placements)),
        nets=tuple(Net(name, tuple(nodes), called.get(name, NetName(after=name))) for name, nodes in nets.items()),
        contacts=tuple(c for p in placements if p.use.part.kind == "relay" for c in _contacts(p)),
        ports=tuple(_port(p) for p in placements if p.use.part.kind == "connector"),
        free=tuple(free),
        control_lines=tuple(_control_line(request, line, placements) for line in lines(request) if line.works_relays),
    )


def _component(placement: Placement) -> Component:
    use = placement.use
    return Component(placement.ref, use.subject, use.part, use.value, use.fitted, use.in_series)


def _control_line(request: Request, line: Line, placements: Sequence[Placement]) -> ControlLine:
    """The line with every relay whose coil hangs on it, straight or by a diode that lets the coil's current pass."""
    switched, behind, before = ("coil -", "anode", "cathode") if request.low_side else ("coil +", "cathode", "anode")
    driven = {line.net} | {
        p.use.pin_nets[behind]
        for p in placements
        if p.use.part.kind == "diode" and p.use.pin_nets.get(before) == line.net and behind in p.use.pin_nets
    }
    coils = (p for p in placements if p.use.part.kind == "relay" and p.use.pin_nets.get(switched) in driven)
    return ControlLine(line.net, line.strip, line.stage, tuple(p.ref for p in coils))


def _contacts(placement: Placement) -> list[Contact]:
    pin_nets = placement.use.pin_nets
    return [
        Contact(
            placement.ref,
            pole,
            pin_nets.get(f"pole {pole} common", ""),
            pin_nets.get(f"pole {pole} normally closed", ""),
            pin_nets.get(f"pole {pole} normally open", ""),
            placement.use.subject.strip,
        )
        for pole in "AB"
    ]


def _port(placement: Placement) -> Port:
    pin_nets = placement.use.pin_nets
    return Port(placement.ref, placement.use.subject.strip, pin_nets["centre"], pin_nets["braid"])
