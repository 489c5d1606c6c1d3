"""What an ohmmeter reads between two points: effective resistance, from one inverse for all pairs. Cost: n^3 once."""

from __future__ import annotations

import math

from boardgen.direct_current.elements import OPEN, CurrentSource, Curve, Element, Resistor, VoltageSource
from boardgen.direct_current.network import Network


def resistance_between(network: Network, a: str, b: str) -> float:
    """Ohms between two points of the network with its sources dead; infinite where no path joins them.

    A voltage source counts as a short, a current source as open. Diodes and other curves count as open: so an
    ohmmeter sees them whose test voltage stays below their threshold.
    """
    return next(iter(resistances_between(network, ((a, b),))))


def resistances_between(network: Network, pairs: tuple[tuple[str, str], ...]) -> tuple[float, ...]:
    """Ohms between many pairs of points, as `resistance_between` has it; infinite where no path joins them.

    Source: R_ab = Z_aa + Z_bb - 2 Z_ab of the nodal impedance matrix, any textbook (recalled).
    """
    dead = Network(tuple(_dead(e) for e in network.elements), network.reference, (*network.points, *sum(pairs, ())))
    apart = [dead.island[a] != dead.island[b] for a, b in pairs]
    if all(apart):
        return (math.inf,) * len(pairs)
    import numpy as np

    from boardgen.direct_current.arrays import Places, bends, lines, matrix

    places = Places(dead)
    none = bends(places, [])
    resistors = [e for e in dead.elements if isinstance(e, Resistor)]
    full = np.pad(np.linalg.inv(matrix(places, lines(places, resistors), none, np.zeros(0))), ((0, 1), (0, 1)))
    found = []
    for (a, b), open_ in zip(pairs, apart, strict=True):
        one, other = places.of[a], places.of[b]
        ohm = full[one, one] + full[other, other] - full[one, other] - full[other, one]
        found.append(math.inf if open_ else max(0.0, float(ohm)))
    return tuple(found)


def _dead(element: Element) -> Element:
    a, b = element.ends
    match element:
        case Resistor():
            return element
        case VoltageSource():
            return Resistor(element.name, a, b, 0.0)
        case CurrentSource() | Curve():
            return Resistor(element.name, a, b, OPEN)
