"""What a solved network tells."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from boardgen.direct_current.arrays import Places
from boardgen.direct_current.elements import CurrentSource, Curve, Resistor, VoltageSource
from boardgen.direct_current.network import Network

if TYPE_CHECKING:
    from boardgen.direct_current.arrays import Floats


class Solution(Struct, frozen=True, eq=False):
    """Volts of every point and amperes of every element of `network`.

    Each island has its own zero, the first of its points; `network.floating` names those apart from the reference.
    `converged` is false where the diodes were not settled: then the figures mean nothing.
    """

    network: Network
    places: Places
    unknown: Floats
    steps: int
    converged: bool

    def potential(self, node: str) -> float:
        """Volts of a point above the zero of its island."""
        return float(self.unknown[self.places.of[node]])

    def volts(self, a: str, b: str) -> float:
        """Volts of `a` above `b`. Raises ValueError where no path joins them, for then it is not defined."""
        island = self.network.island
        if island[a] != island[b]:
            message = f"no path joins {a} and {b}: the voltage between them is not defined"
            raise ValueError(message)
        return self.potential(a) - self.potential(b)

    def current(self, name: str) -> float:
        """Amperes through an element from its first point to its second; in a voltage source, from plus to minus.

        Raises ValueError for a resistor of no resistance, whose current is not worked out.
        """
        element = self.network.element[name]
        match element:
            case Resistor(ohm=ohm):
                if ohm == 0:
                    message = f"the current of {name}, which has no resistance, is not worked out"
                    raise ValueError(message)
                return (self.potential(element.a) - self.potential(element.b)) / ohm
            case CurrentSource(ampere=ampere):
                return ampere
            case Curve():
                return float(np.interp(self.potential(element.a) - self.potential(element.b), *_spread(element)))
            case VoltageSource():
                return float(self.unknown[self.places.points + self.places.sources.index(element)])


def _spread(curve: Curve, far_v: float = 1e6) -> tuple[list[float], list[float]]:
    """Volts and amperes of a curve with its outer lines drawn far out."""
    (v1, i1), (v2, i2) = curve.points[:2]
    (v3, i3), (v4, i4) = curve.points[-2:]
    first = (v1 - far_v, i1 - far_v * (i2 - i1) / (v2 - v1))
    last = (v4 + far_v, i4 + far_v * (i4 - i3) / (v4 - v3))
    volts, amperes = zip(first, *curve.points, last, strict=True)
    return list(volts), list(amperes)
