"""A network as arrays: where every element sits among the unknowns."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from boardgen.direct_current.elements import CurrentSource, Curve, Element, Resistor, VoltageSource
from boardgen.direct_current.network import Network

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.intp]


class Lines(Struct, frozen=True):
    """Straight branches: ends among the unknowns, and siemens; shape (n,) each."""

    a: Ints
    b: Ints
    siemens: Floats


class Bends(Struct, frozen=True):
    """Curves: ends (n,), inner bends in volts (n, m) padded with infinity, slope and offset of each piece (n, m + 1).

    The current of a piece is slope times volts plus offset.
    """

    a: Ints
    b: Ints
    bend_v: Floats
    slope: Floats
    offset: Floats

    def piece(self, volts: Floats) -> Ints:
        """The piece that each curve is on."""
        found: Ints = np.sum(volts[:, None] > self.bend_v, axis=1, dtype=np.intp)
        return found

    def pick(self, piece: Ints) -> tuple[Floats, Floats]:
        """Slope and offset of those pieces."""
        rows = np.arange(len(piece))
        return self.slope[rows, piece], self.offset[rows, piece]


class Places:
    """The place of every point among the unknowns; the last place, `zero`, is that of every island's reference.

    Unknown are the points' volts, then the currents of the voltage sources.
    """

    def __init__(self, network: Network) -> None:
        heads = {network.joined[network.island[node]] for node in network.nodes}
        free = [n for n in dict.fromkeys(network.joined[node] for node in network.nodes) if n not in heads]
        self.sources = tuple(e for e in network.elements if isinstance(e, VoltageSource))
        self.points = len(free)
        self.zero = len(free) + len(self.sources)
        at = {node: n for n, node in enumerate(free)} | dict.fromkeys(heads, self.zero)
        self.of = {node: at[network.joined[node]] for node in network.nodes}

    def ends(self, elements: list[Element]) -> tuple[Ints, Ints]:
        """Places of both ends, shape (n,) each."""
        pairs = np.array([[self.of[end] for end in e.ends] for e in elements], dtype=np.intp).reshape(-1, 2)
        return pairs[:, 0], pairs[:, 1]


def lines(places: Places, resistors: list[Resistor]) -> Lines:
    """Resistors as branches; those that join or are open have none."""
    real = [r for r in resistors if 0 < r.ohm < math.inf]
    return Lines(*places.ends(list(real)), np.array([1 / r.ohm for r in real], dtype=float))


def bends(places: Places, curves: list[Curve]) -> Bends:
    """Curves as branches."""
    most = max((len(c.points) for c in curves), default=2) - 1
    bend_v = np.full((len(curves), most - 1), math.inf)
    slope, offset = np.ones((len(curves), most)), np.zeros((len(curves), most))
    for row, curve in enumerate(curves):
        volts, amperes = np.array(curve.points).T
        pieces = len(volts) - 1
        slope[row, :pieces] = np.diff(amperes) / np.diff(volts)
        offset[row, :pieces] = amperes[1:] - slope[row, :pieces] * volts[1:]
        bend_v[row, : pieces - 1] = volts[1:-1]
    return Bends(*places.ends(list(curves)), bend_v, slope, offset)


def injected(places: Places, elements: tuple[Element, ...]) -> Floats:
    """The known side: currents given to each point, then the volts of the sources; one more place for `zero`."""
    known = np.zeros(places.zero + 1)
    for e in elements:
        if isinstance(e, CurrentSource):
            known[places.of[e.a]] -= e.ampere
            known[places.of[e.b]] += e.ampere
    for n, source in enumerate(places.sources, places.points):
        known[n] = source.volt
    known[places.zero] = 0.0
    return known


def matrix(places: Places, straight: Lines, curved: Bends, slope: Floats) -> Floats:
    """Conductances and sources, shape (zero, zero)."""
    size = places.zero + 1
    full = stamped(
        np.concatenate((straight.a, curved.a)),
        np.concatenate((straight.b, curved.b)),
        np.concatenate((straight.siemens, slope)),
        size,
    )
    for n, source in enumerate(places.sources, places.points):
        for end, sign in ((places.of[source.plus], 1.0), (places.of[source.minus], -1.0)):
            full[n, end] += sign
            full[end, n] += sign
    return full[:-1, :-1]


def stamped(a: Ints, b: Ints, siemens: Floats, size: int) -> Floats:
    """Branches between places, added up as conductances, shape (size, size)."""
    places = np.concatenate((a * (size + 1), b * (size + 1), a * size + b, b * size + a))
    shares = np.concatenate((siemens, siemens, -siemens, -siemens))
    total = np.bincount(places, weights=shares, minlength=size * size)
    return np.asarray(total.reshape(size, size), dtype=np.float64)
