"""Solves a network: modified nodal analysis, its curves by newton.py. Cost: n^3 a step, n points and sources."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from boardgen.direct_current.arrays import Lines, Places, bends, injected, lines, matrix
from boardgen.direct_current.elements import Curve, Resistor
from boardgen.direct_current.network import Network
from boardgen.direct_current.newton import Stack, newton
from boardgen.direct_current.solution import Solution

if TYPE_CHECKING:
    from boardgen.direct_current.arrays import Floats


def solve(network: Network) -> Solution:
    """Volts and amperes of the network, in the solution that every rising curve makes unique.

    The solution's `converged` is False where the curves were not settled; its figures then mean nothing.
    """
    places = Places(network)
    straight = lines(places, [e for e in network.elements if isinstance(e, Resistor)])
    curved = bends(places, [e for e in network.elements if isinstance(e, Curve)])

    def linear(_: Stack, slope: Floats, side: Floats) -> Floats:
        return np.append(np.linalg.solve(matrix(places, straight, curved, slope[0]), side[0, :-1]), 0.0)[None]

    row = Lines(straight.a[None], straight.b[None], straight.siemens[None])
    known = injected(places, network.elements)
    stack = Stack(row, curved, np.ones((1, len(curved.a))), known[None], places.points)
    found = newton(linear, stack, curved.piece(np.zeros((1, len(curved.a)))))
    return Solution(network, places, found.unknown[0], int(found.steps[0]), bool(found.converged[0]))
