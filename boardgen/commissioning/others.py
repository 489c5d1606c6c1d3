"""What the idle antennas that are not under test leave between the nets that all share."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from boardgen.direct_current.elements import Resistor

Conductance = Mapping[tuple[str, str], float]
"""Siemens between two nets, by their names in order."""


def seen_from(resistors: Iterable[Resistor], shared: frozenset[str]) -> Conductance:
    """Conductances between the shared nets that stand for these resistors; what no shared net reaches is left out.

    Source: reduction of a network to some of its nodes by Kron's formula, Y_ss - Y_si Y_ii^-1 Y_is (recalled).
    """
    import numpy as np

    real = [r for r in resistors if 0 < r.ohm < math.inf]
    reached = _reached(real, shared)
    ends = dict.fromkeys(end for r in real for end in r.ends if end in reached)
    kept = [end for end in ends if end in shared]
    place = {end: n for n, end in enumerate([*kept, *(end for end in ends if end not in shared)])}
    matrix = np.zeros((len(place), len(place)))
    for r in real:
        if r.a in place and r.b in place:
            a, b, siemens = place[r.a], place[r.b], 1 / r.ohm
            matrix[a, a] += siemens
            matrix[b, b] += siemens
            matrix[a, b] -= siemens
            matrix[b, a] -= siemens
    n = len(kept)
    if len(place) > n:
        matrix = matrix[:n, :n] - matrix[:n, n:] @ np.linalg.solve(matrix[n:, n:], matrix[n:, :n])
    return {
        (min(one, other), max(one, other)): float(-matrix[a, b])
        for a, one in enumerate(kept)
        for b, other in enumerate(kept[:a])
        if matrix[a, b] < 0
    }


def _reached(resistors: list[Resistor], shared: frozenset[str]) -> set[str]:
    """Every net that a path leads to from a shared one."""
    beside: dict[str, list[str]] = {}
    for r in resistors:
        beside.setdefault(r.a, []).append(r.b)
        beside.setdefault(r.b, []).append(r.a)
    found, waiting = set(), [net for net in beside if net in shared]
    while waiting:
        net = waiting.pop()
        if net not in found:
            found.add(net)
            waiting += beside[net]
    return found


def together(some: Iterable[Conductance]) -> tuple[Resistor, ...]:
    """All of them in parallel, a resistor for each pair of nets."""
    total: dict[tuple[str, str], float] = {}
    for one in some:
        for pair, siemens in one.items():
            total[pair] = total.get(pair, 0.0) + siemens
    return tuple(Resistor(f"others {a} {b}", a, b, 1 / siemens) for (a, b), siemens in sorted(total.items()))
