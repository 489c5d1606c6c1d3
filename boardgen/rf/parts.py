"""The network cut into strips: which nets each owns, which they share, and each strip as a block of some shape."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from boardgen.catalogue import Permeability
from boardgen.model.netlist import Port
from boardgen.rf.block import Incidence, Shape, Slot
from boardgen.rf.curves import complex_permeability
from boardgen.rf.element import GROUND, Element
from boardgen.rf.laws import LAWS, Array
from boardgen.rf.reference import across, strongest_tree

TYPICAL_OHM = 75.0
"""How strongly a load ties its port, only to choose local references."""


@dataclass(frozen=True)
class Strip:
    """One strip in one state as a block. Its kept variables are its port's own nets, then the shared nets.

    `elements` are positions in the network's list, one for each slot of the shape. `port` gives the port's differential
    and common-mode voltage as signed kept variables, and after them the voltage of each probe; it is empty where there
    is no port. Probes are nets that something couples to another strip.
    """

    owner: str
    shape: Shape
    elements: tuple[int, ...]
    port: tuple[Incidence, ...]
    own: int
    probes: tuple[str, ...] = ()


def shared_nets(elements: Sequence[Element], ports: Sequence[Port]) -> tuple[str, ...]:
    """Nets that elements or ports of more than one owner touch, in order of first mention."""
    owners: dict[str, set[str]] = {}
    for element in elements:
        for net in element.nets:
            owners.setdefault(net, set()).add(element.owner)
    for port in ports:
        for net in (port.centre, port.braid):
            owners.setdefault(net, set()).add(port.strip)
    return tuple(net for net, who in owners.items() if len(who) > 1 and net != GROUND)


def shared_tree(shared: Sequence[str]) -> dict[str, str]:
    """The references of the shared nets: a centre's is its own braid."""
    return {net: braid if (braid := _braid_of(net)) in shared else GROUND for net in shared}


def _braid_of(centre: str) -> str:
    return centre.removesuffix("centre") + "braid" if centre.endswith("centre") else ""


def as_strip(
    owner: str,
    port: Port | None,
    elements: Mapping[int, Element],
    shared: Sequence[str],
    middle_hz: float,
    permeability: Mapping[str, Permeability],
    probes: Sequence[str] = (),
) -> Strip:
    """The block of one owner's elements, by their positions in the network's list. `probes` are kept in reach."""
    nets = dict.fromkeys(net for e in elements.values() for net in e.nets if net != GROUND)
    pairs = [] if port is None else [(port.centre, port.braid), (port.braid, GROUND)]
    own = [net for net, _ in pairs if net not in shared]
    inner = [net for net in nets if net not in own and net not in shared]
    ties = _ties(elements.values(), middle_hz, permeability)
    tree = _tree(shared_tree(shared), pairs, own, inner, ties)
    own = list(dict.fromkeys([*own, *(net for probe in probes for net in _chain(tree, probe) if net not in shared)]))
    inner = [net for net in inner if net not in own]
    place = {net: n for n, net in enumerate((*inner, *own, *shared))}

    def incidence(one: str, other: str) -> Incidence:
        return tuple(sorted((place[net], sign) for net, sign in across(tree, one, other).items()))

    slots = tuple(Slot(e.law, e.material, tuple(incidence(*pair) for pair in e.pairs)) for e in elements.values())
    port_voltages = tuple(
        tuple((at - len(inner), sign) for at, sign in incidence(*pair))
        for pair in (*pairs, *((probe, GROUND) for probe in probes))
    )
    shape = Shape(slots, len(inner), len(own) + len(shared))
    return Strip(owner, shape, tuple(elements), port_voltages, len(own), tuple(probes))


def _chain(tree: Mapping[str, str], net: str) -> Iterable[str]:
    """The net and its references, down to 0V."""
    while net != GROUND:
        yield net
        net = tree[net]


def _tree(
    shared: Mapping[str, str],
    pairs: Sequence[tuple[str, str]],
    own: Sequence[str],
    inner: Sequence[str],
    ties: Sequence[tuple[str, str, float]],
) -> dict[str, str]:
    """Port nets go to their strongest neighbour where that is no inner net, else centre to braid and braid to 0V."""
    loads = [(*pair, 1 / TYPICAL_OHM) for pair in pairs]
    free = strongest_tree(shared, (*inner, *own), (*ties, *loads))
    kept = {GROUND, *shared, *own}
    if all(free[net] in kept for net in own):
        return free
    fixed = dict(shared) | {net: reference for net, reference in pairs if net in own}
    return strongest_tree(fixed, inner, ties)


def _ties(
    elements: Iterable[Element], middle_hz: float, permeability: Mapping[str, Permeability]
) -> list[tuple[str, str, float]]:
    """What ties nets together at the middle of the band; windings tie their own ends."""
    omega = np.array([2 * np.pi * middle_hz])
    ties = []
    for element in elements:
        values = {p.name: np.array([[p.value]]) for p in element.parameters}
        mu = complex_permeability(permeability[element.material], np.array([middle_hz])) if element.material else None
        outputs = LAWS[element.law](values, omega, mu)
        for pair, admittance in zip(element.pairs, (outputs[0], outputs[-1]), strict=False):
            ties.append((*pair, _magnitude(admittance)))
    return ties


def _magnitude(admittance: Array) -> float:
    return float(abs(admittance[0, 0]))
