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

    Bools = NDArray[np.bool_]
    Floats = NDArray[np.float64]
    Ints = NDArray[np.intp]


class Lines(Struct, frozen=True):
    """Straight branches: ends among the unknowns, and siemens; shape (n,) or (rows, n) each."""

    a: Ints
    b: Ints
    siemens: Floats


class Bends(Struct, frozen=True):
    """Curves: ends (n,), volts at both ends of every piece (n, m + 1), slope and offset of each piece (n, m).

    The outer pieces end at infinity, and so do those of curves with fewer pieces than others.

    The current of a piece is slope times volts plus offset. Volts and pieces have the shape (n,) or (rows, n).
    """

    a: Ints
    b: Ints
    ends_v: Floats
    slope: Floats
    offset: Floats

    @property
    def bend_v(self) -> Floats:
        """Volts of the inner bends, shape (n, m - 1)."""
        return self.ends_v[:, 1:-1]

    def piece(self, volts: Floats) -> Ints:
        """The piece that each curve is on."""
        return np.asarray(np.count_nonzero(volts[..., None] > self.bend_v, axis=-1))

    def pick(self, piece: Ints) -> tuple[Floats, Floats]:
        """Slope and offset of those pieces."""
        rows = np.arange(len(self.a))
        return self.slope[rows, piece], self.offset[rows, piece]

    def span(self, piece: Ints) -> tuple[Floats, Floats]:
        """The volts between which those pieces reach."""
        rows = np.arange(len(self.a))
        return self.ends_v[rows, piece], self.ends_v[rows, piece + 1]

    def incidence(self, size: int) -> Floats:
        """What a current in each curve gives to every place, shape (n, size)."""
        found = np.zeros((len(self.a), size))
        rows = np.arange(len(self.a))
        found[rows, self.a] += 1.0
        found[rows, self.b] -= 1.0
        return found


def across(branches: Lines | Bends, unknown: Floats) -> Floats:
    """Volts across each branch, shape (rows, n), from unknowns with a zero at their end, shape (rows, zero + 1).

    Unknowns of the shape (rows, zero + 1, m) stand for m solutions of each row, and give (rows, n, m).
    """
    rows = np.arange(len(unknown))[:, None]
    return np.asarray(unknown[rows, branches.a] - unknown[rows, branches.b])


def gathered(a: Ints, b: Ints, ampere: Floats, size: int) -> Floats:
    """What currents from `a` to `b`, shape (rows, n), bring to every place, shape (rows, size)."""
    rows = np.arange(len(ampere))[:, None] * size
    places = np.concatenate((rows + b, rows + a), axis=1)
    weights = np.concatenate((ampere, -ampere), axis=1)
    total = np.bincount(places.ravel(), weights=weights.ravel(), minlength=len(ampere) * size)
    return np.asarray(total.reshape(len(ampere), size))


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
    laws = list(dict.fromkeys(c.points for c in curves))
    most = max((len(points) for points in laws), default=2) - 1
    ends_v = np.full((len(laws), most + 1), math.inf)
    ends_v[:, 0] = -math.inf
    slope, offset = np.ones((len(laws), most)), np.zeros((len(laws), most))
    for row, points in enumerate(laws):
        volts, amperes = np.array(points).T
        pieces = len(volts) - 1
        slope[row, :pieces] = np.diff(amperes) / np.diff(volts)
        offset[row, :pieces] = amperes[1:] - slope[row, :pieces] * volts[1:]
        ends_v[row, 1:pieces] = volts[1:-1]
    row_of = {points: row for row, points in enumerate(laws)}
    rows = np.array([row_of[c.points] for c in curves], dtype=np.intp)
    return Bends(*places.ends(list(curves)), ends_v[rows], slope[rows], offset[rows])


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
