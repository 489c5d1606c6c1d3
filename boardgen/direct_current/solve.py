"""Solves a network, and many that differ a little from it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

import numpy as np

from boardgen.direct_current.arrays import Bends, Lines, Places, bends, injected, lines, matrix
from boardgen.direct_current.elements import CurrentSource, Curve, Element, Resistor, VoltageSource
from boardgen.direct_current.network import Network
from boardgen.direct_current.newton import newton
from boardgen.direct_current.solution import Solution, unbalanced_a

if TYPE_CHECKING:
    from boardgen.direct_current.arrays import Floats

Change = Sequence[Element]
"""Elements that take the place of those of the same name, or come in addition."""
BALANCE = 1e-7
"""Share of the largest current that may be left over before a short cut is not trusted."""


def solve(network: Network) -> Solution:
    """Volts and amperes of the network."""
    places = Places(network)
    straight = lines(places, [e for e in network.elements if isinstance(e, Resistor)])
    curved = bends(places, [e for e in network.elements if isinstance(e, Curve)])

    def linear(slope: Floats, known: Floats) -> Floats:
        found: Floats = np.asarray(np.linalg.solve(matrix(places, straight, curved, slope), known), dtype=np.float64)
        return found

    known = injected(places, network.elements)
    at_rest = curved.piece(np.zeros(len(curved.a)))
    found = newton(linear, straight, curved, known, places.points, at_rest)
    return Solution(network, places, found.unknown, found.piece, found.steps, found.converged, straight, curved, known)


def solve_changes(solution: Solution, changes: Iterable[Change]) -> Iterator[Solution]:
    """The solution of each change of a solved network, in order.

    Where a change leaves the points that hang together as they are, the inverse of the unchanged network is mended by
    as many ranks as branches changed, which takes a fraction of the time; the currents into each point are then
    checked, and the network solved afresh if they do not balance.
    """
    base = _Base(solution)
    for change in changes:
        yield base.mended(change) or solve(solution.network.changed(change))


class _Base:
    """A solved network with the inverse of its matrix."""

    def __init__(self, solution: Solution) -> None:
        self.solution = solution
        self.slope, _ = solution.curved.pick(solution.piece)
        places, network = solution.places, solution.network
        self.matrix = matrix(places, solution.straight, solution.curved, self.slope)
        self.inverse = np.linalg.inv(self.matrix)
        # a last row and column of zeros stand for the zeros of the islands
        self.padded = np.pad(self.inverse, ((0, 1), (0, 1)))
        real = [e for e in network.elements if isinstance(e, Resistor) and 0 < e.ohm < math.inf]
        self.line_row = {e.name: n for n, e in enumerate(real)}
        self.curve_row = {e.name: n for n, e in enumerate(e for e in network.elements if isinstance(e, Curve))}

    def mended(self, change: Change) -> Solution | None:
        """The solution of the changed network, or None where the short cut cannot be taken."""
        network = self.solution.network
        if not all(self._fits(e) for e in change):
            return None
        new = network.changed(change)
        if new.islands != network.islands:
            return None
        straight, curved = self._branches(change)
        first = len(self.slope)
        piece = np.concatenate((self.solution.piece, curved.piece(np.zeros(len(curved.a)))[first:]))
        same = self._same_sources(change)
        places = self.solution.places if same else Places(new)
        known = self.solution.known if same else injected(places, new.elements)
        found = newton(
            lambda s, k: self._linear(straight, curved, s, k),
            straight,
            curved,
            known,
            places.points,
            piece,
        )
        scale = max(
            1e-3,
            float(np.abs(straight.siemens * (found.unknown[straight.a] - found.unknown[straight.b])).max(initial=0)),
        )
        left = unbalanced_a(places, straight, curved, known, found.unknown)
        if not found.converged or not left <= BALANCE * scale:
            return None
        return Solution(new, places, found.unknown, found.piece, found.steps, found.converged, straight, curved, known)

    def _fits(self, e: Element) -> bool:
        """Whether the unknowns stay what they are."""
        old = self.solution.network.element.get(e.name)
        if not all(end in self.solution.places.of for end in e.ends):
            return False
        if isinstance(e, VoltageSource) or isinstance(old, VoltageSource):
            return isinstance(e, VoltageSource) and isinstance(old, VoltageSource) and e.ends == old.ends
        return not any(isinstance(x, Resistor) and x.ohm == 0 for x in (e, old))

    def _same_sources(self, change: Change) -> bool:
        """Whether the known side stays as it is."""
        olds = (self.solution.network.element.get(e.name) for e in change)
        return not any(isinstance(e, VoltageSource | CurrentSource) for e in (*change, *olds))

    def _branches(self, change: Change) -> tuple[Lines, Bends]:
        """The branches of the unchanged network, those replaced without current, and the new ones after them."""
        solution = self.solution
        old, curved = solution.straight, solution.curved
        siemens = old.siemens.copy()
        siemens[[self.line_row[e.name] for e in change if e.name in self.line_row]] = 0.0
        more = lines(solution.places, [e for e in change if isinstance(e, Resistor)])
        straight = Lines(
            np.concatenate((old.a, more.a)), np.concatenate((old.b, more.b)), np.concatenate((siemens, more.siemens))
        )
        dropped = [self.curve_row[e.name] for e in change if e.name in self.curve_row]
        new = [e for e in change if isinstance(e, Curve)]
        if not dropped and not new:
            return straight, curved
        slope, offset = curved.slope.copy(), curved.offset.copy()
        slope[dropped], offset[dropped] = 0.0, 0.0
        if not new:
            return straight, Bends(curved.a, curved.b, curved.bend_v, slope, offset)
        bent = bends(solution.places, new)
        wide = max(slope.shape[1], bent.slope.shape[1])
        return straight, Bends(
            np.concatenate((curved.a, bent.a)),
            np.concatenate((curved.b, bent.b)),
            np.vstack((_wide(curved.bend_v, wide - 1, math.inf), _wide(bent.bend_v, wide - 1, math.inf))),
            np.vstack((_wide(slope, wide, 1.0), _wide(bent.slope, wide, 1.0))),
            np.vstack((_wide(offset, wide, 0.0), _wide(bent.offset, wide, 0.0))),
        )

    def _linear(self, straight: Lines, curved: Bends, slope: Floats, known: Floats) -> Floats:
        """The unknowns of the changed network by mending the inverse.

        Source: Sherman, Morrison and Woodbury's formula for the inverse of a changed matrix (recalled).
        """
        old = self.solution.straight.siemens
        extra = np.concatenate((straight.siemens, slope))
        extra[: len(old)] -= old
        extra[len(straight.siemens) : len(straight.siemens) + len(self.slope)] -= self.slope
        rows = np.flatnonzero(extra)
        siemens = extra[rows]
        a, b = np.concatenate((straight.a, curved.a))[rows], np.concatenate((straight.b, curved.b))[rows]
        toward = self.padded[:, a] - self.padded[:, b]
        core = np.eye(len(rows)) + siemens[:, None] * (toward[a] - toward[b])

        def mend(side: Floats) -> Floats:
            plain = np.append(self.inverse @ side, 0.0)
            found: Floats = plain - toward @ np.linalg.solve(core, siemens * (plain[a] - plain[b]))
            return found

        try:
            found = mend(known)
            # once more on what is left over, for where much was taken away little is left of the digits
            left = np.append(known - self.matrix @ found[:-1], 0.0)
            through = siemens * (found[a] - found[b])
            np.add.at(left, a, -through)
            np.add.at(left, b, through)
            return (found + mend(left[:-1]))[:-1]
        except np.linalg.LinAlgError:
            return np.full_like(known, math.nan)


def _wide(rows: Floats, wide: int, filler: float) -> Floats:
    return np.pad(rows, ((0, 0), (0, wide - rows.shape[1])), constant_values=filler)
