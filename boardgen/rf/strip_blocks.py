"""The network cut into strips: which nets each owns, which they share, and each strip as a block of some shape."""

from __future__ import annotations

import functools
from collections.abc import Collection, Iterable, Mapping, Sequence

import numpy as np
from msgspec import Struct

from boardgen.catalogue import Permeability
from boardgen.model.netlist import Port
from boardgen.rf.curves import complex_permeability
from boardgen.rf.reference import Tie, across, strongest_tree
from boardgen.rf_network.block import Incidence, Shape, Slot
from boardgen.rf_network.device_models import LAWS
from boardgen.rf_network.element import GROUND, Element

Pattern = tuple[object, ...]
TYPICAL_OHM = 75.0
"""How strongly a load ties its port, only to choose local references."""


class Strip(Struct, frozen=True):
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


def shared_tree(shared: Sequence[str], braid_of: Mapping[str, str]) -> dict[str, str]:
    """The references of the shared nets: a centre's is its own braid, by `braid_of`."""
    return {net: braid if (braid := braid_of.get(net)) in shared and braid else GROUND for net in shared}


def pattern_of(
    port: Port | None, elements: Iterable[Element], shared: Collection[str], probes: Iterable[str]
) -> Pattern:
    """How the elements, the port and the probes of a strip lie, whatever its own nets are called and values are.

    Strips of one pattern may have the same local references: what ties the nets of one strongly does so in the other.
    """
    kept = {GROUND, *shared}
    numbers: dict[str, int] = {}

    def place(net: str) -> str | int:
        return net if net in kept else numbers.setdefault(net, len(numbers))

    pairs = () if port is None else (place(port.centre), place(port.braid))
    laws = tuple((e.law, e.material, tuple((place(one), place(other)) for one, other in e.pairs)) for e in elements)
    return pairs, laws, tuple(place(net) for net in probes)


def as_strip(
    owner: str,
    port: Port | None,
    elements: Mapping[int, Element],
    shared: Mapping[str, str],
    ties: Sequence[Tie],
    probes: Sequence[str] = (),
) -> Strip:
    """The block of one owner's elements, by their positions in the network's list, and what they tie.

    `shared` are the shared nets with their references; `probes` are kept in reach.
    """
    nets = dict.fromkeys(net for e in elements.values() for net in e.nets if net != GROUND)
    pairs = [] if port is None else [(port.centre, port.braid), (port.braid, GROUND)]
    own = [net for net, _ in pairs if net not in shared]
    inner = [net for net in nets if net not in own and net not in shared]
    tree = _tree(shared, pairs, own, inner, ties)
    own = list(dict.fromkeys([*own, *(net for probe in probes for net in _chain(tree, probe) if net not in shared)]))
    inner = [net for net in inner if net not in own]
    place = {net: n for n, net in enumerate((*inner, *own, *shared))}

    @functools.cache
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
    ties: Sequence[Tie],
) -> dict[str, str]:
    """Port nets go to their strongest neighbour where that is no inner net, else centre to braid and braid to 0V."""
    loads = [(*pair, 1 / TYPICAL_OHM) for pair in pairs]
    free = strongest_tree(shared, (*inner, *own), (*ties, *loads))
    kept = {GROUND, *shared, *own}
    if all(free[net] in kept for net in own):
        return free
    fixed = dict(shared) | {net: reference for net, reference in pairs if net in own}
    return strongest_tree(fixed, inner, ties)


def ties(
    elements: Sequence[Element], middle_hz: float, permeability: Mapping[str, Permeability]
) -> list[tuple[Tie, ...]]:
    """For each element what ties its nets together at the middle of the band; windings tie their own ends."""
    points, alike = np.array([middle_hz]), dict[tuple[str, str], list[int]]()
    for at, element in enumerate(elements):
        alike.setdefault((element.law, element.material), []).append(at)
    found: list[tuple[Tie, ...]] = [()] * len(elements)
    for (law, material), places in alike.items():
        names = [p.name for p in elements[places[0]].parameters]
        columns = zip(*([p.value for p in elements[at].parameters] for at in places), strict=True)
        values = {name: np.array(column)[:, None] for name, column in zip(names, columns, strict=True)}
        mu = complex_permeability(permeability[material], points) if material else None
        outputs = LAWS[law](values, 2 * np.pi * points, mu)
        ends = zip(*(np.abs(output[:, 0]).tolist() for output in (outputs[0], outputs[-1])), strict=True)
        for at, siemens in zip(places, ends, strict=True):
            found[at] = tuple((*pair, one) for pair, one in zip(elements[at].pairs, siemens, strict=False))
    return found
