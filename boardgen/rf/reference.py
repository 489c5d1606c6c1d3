"""Local references: every net is measured against the net that it is tied to most strongly (a maximum spanning tree).

Grown by Prim's algorithm from the fixed references, ties by size on a heap: n log n in the ties of a strip, some tens.

Plain node voltages lose a common mode of -190 dB in the rounding of the differences between them; voltages across the
strong branches of the network do not.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping

from boardgen.rf_network.element import GROUND

Tie = tuple[str, str, float]
"""Two nets and the magnitude of the admittance between them, in siemens."""


def strongest_tree(fixed: Mapping[str, str], nets: Iterable[str], ties: Iterable[Tie]) -> dict[str, str]:
    """The reference of each net: those in `fixed` as given, the others by a maximum spanning tree grown from them.

    A net that nothing ties to the rest is measured against 0V.
    """
    beside: dict[str, list[tuple[str, float]]] = {}
    for one, other, siemens in ties:
        beside.setdefault(one, []).append((other, siemens))
        beside.setdefault(other, []).append((one, siemens))
    found = dict(fixed)
    waiting = [(-s, net, other) for net in (GROUND, *fixed) for other, s in beside.get(net, ())]
    heapq.heapify(waiting)
    while waiting:
        _, net, other = heapq.heappop(waiting)
        if other not in found and other != GROUND:
            found[other] = net
            for further, siemens in beside[other]:
                heapq.heappush(waiting, (-siemens, other, further))
    return found | {net: GROUND for net in nets if net not in found and net != GROUND}


def across(tree: Mapping[str, str], one: str, other: str) -> dict[str, int]:
    """The voltage from one net to another as signed tree voltages, each named after its net."""
    signs = dict.fromkeys(_path(tree, one), 1)
    for net in _path(tree, other):
        if net in signs:
            del signs[net]
        else:
            signs[net] = -1
    return signs


def _path(tree: Mapping[str, str], net: str) -> list[str]:
    path = []
    while net != GROUND:
        path.append(net)
        net = tree[net]
    return path
