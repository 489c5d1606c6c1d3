"""Freezes placed parts into a Netlist of plain data."""

from __future__ import annotations

from collections.abc import Iterable

from boardgen.circuit.compose import Placement
from boardgen.model.netlist import Component, Contact, Net, Netlist, Node, Port
from boardgen.request import Request


def freeze(request: Request, placements: Iterable[Placement]) -> Netlist:
    """The netlist: nets in order of their first pin, pins in order of their components."""
    placements = tuple(placements)
    nets: dict[str, list[Node]] = {}
    free: list[Node] = []
    for placement in placements:
        for role, pad in placement.use.part.pins.items():
            node = Node(placement.ref, pad, role)
            net = placement.use.joins.get(role)
            free.append(node) if net is None else nets.setdefault(net, []).append(node)
    labels = {f"{s.name} ": s.label for s in request.strips if s.name != s.label}
    return Netlist(
        title=request.spec.title,
        revision=request.spec.revision,
        components=tuple(Component(p.ref, p.use.subject, p.use.part, p.use.value, p.use.fitted) for p in placements),
        nets=tuple(Net(name, tuple(nodes), _label(name, labels)) for name, nodes in nets.items()),
        contacts=tuple(c for p in placements if p.use.part.kind == "relay" for c in _contacts(p)),
        ports=tuple(_port(p) for p in placements if p.use.part.kind == "connector"),
        free=tuple(free),
    )


def _label(name: str, labels: dict[str, str]) -> str:
    """The user's own spelling of a net whose name had to be put into plain letters."""
    for plain, label in labels.items():
        if name.startswith(plain):
            return f"{label} {name.removeprefix(plain)}"
        if name.endswith(f" {plain.rstrip()}"):
            return name.removesuffix(plain.rstrip()) + label
    return ""


def _contacts(placement: Placement) -> list[Contact]:
    joins = placement.use.joins
    return [
        Contact(
            placement.ref,
            pole,
            joins.get(f"pole {pole} common", ""),
            joins.get(f"pole {pole} normally closed", ""),
            joins.get(f"pole {pole} normally open", ""),
            placement.use.subject.strip,
        )
        for pole in "AB"
    ]


def _port(placement: Placement) -> Port:
    joins = placement.use.joins
    return Port(placement.ref, placement.use.subject.strip, joins["centre"], joins["braid"])
