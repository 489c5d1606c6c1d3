"""Solves many networks that differ a little from one that is solved: rank-k updates of one inverse.

The conductance matrix of the solved network is inverted once; a change of k branches is then a correction of rank k
(Sherman, Morrison and Woodbury's formula, recalled), refined once on what is left over and checked by the balance of
currents, else the network is solved afresh. Cost: n^3 once, then k n^2 a network and step of newton.py, all networks
side by side, against n^3 a network and step. It pays: the proof of a station, every state with every single fault,
takes 0.97 s of processor time with it and 9.24 s without.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from boardgen.direct_current.arrays import Lines, Places, across, bends, gathered, injected, lines, matrix
from boardgen.direct_current.elements import CurrentSource, Curve, Element, Resistor, VoltageSource
from boardgen.direct_current.network import Network
from boardgen.direct_current.newton import Stack, newton
from boardgen.direct_current.solution import Solution
from boardgen.direct_current.solve import solve

if TYPE_CHECKING:
    from boardgen.direct_current.arrays import Floats

Change = Sequence[Element]
"""Elements that take the place of those of the same name, or come in addition."""
BALANCE = 1e-7
"""Share of the largest current that may be left over before a short cut is not trusted."""


STILL_A = 1e-9
"""A current that changes no more is taken as it was: over the megohm of a leaking diode it makes a millivolt."""


def holds(solution: Solution, change: Change) -> bool:
    """Whether the volts of a solved network are those of the changed one too, since the change alters no current.

    Parameters
    ----------
    solution
        The solved network.
    change
        Elements in place of their namesakes, or in addition.

    """
    left: dict[int, float] = {}
    for new in change:
        old = solution.network.element.get(new.name)
        if new == old:
            continue
        for element, sign in ((old, -1.0), (new, 1.0)):
            if element is None or (isinstance(element, Resistor) and element.ohm == math.inf):
                continue
            if not _known_current(solution, element):
                return False
            a, b = (solution.places.of[end] for end in element.ends)
            ampere = sign * _ampere(solution, element)
            left[a], left[b] = left.get(a, 0.0) + ampere, left.get(b, 0.0) - ampere
    left.pop(solution.places.zero, None)
    return all(abs(ampere) <= STILL_A for ampere in left.values())


def _known_current(solution: Solution, element: Element) -> bool:
    """Whether the solved volts tell what flows in it."""
    a, b = element.ends
    of, island = solution.places.of, solution.network.island
    if a not in of or b not in of or island[a] != island[b]:
        return False
    if isinstance(element, Curve):
        return solution.network.element.get(element.name) == element
    return isinstance(element, Resistor) and element.ohm > 0


def _ampere(solution: Solution, element: Element) -> float:
    """What flows in an element at the solved volts, whether it is in the network or not."""
    if isinstance(element, Resistor):
        return (solution.potential(element.a) - solution.potential(element.b)) / element.ohm
    return solution.current(element.name)


class _Changed(Struct, frozen=True):
    """A change, the network with it, and its places: those of the unchanged network but for the volts of sources."""

    change: Change
    network: Network
    places: Places


def solve_changes(solution: Solution, changes: Iterable[Change]) -> tuple[Solution, ...]:
    """The solution of each change of a solved network, in order.

    Where a change leaves the points that hang together as they are and brings no curve, the inverse of the unchanged
    network is updated; any other network, and one whose currents then do not balance, is solved afresh.

    Raises
    ------
    NetworkError
        A change makes a network that means nothing.

    """
    changed = [_changed(solution, change) for change in changes]
    short = [n for n, c in enumerate(changed) if _keeps_unknowns(solution, c)]
    mended = dict(zip(short, _base(solution).mended([changed[n] for n in short]), strict=True))
    return tuple(mended.get(n) or solve(c.network) for n, c in enumerate(changed))


@lru_cache(maxsize=16)
def _base(solution: Solution) -> _Base:
    """Kept for the next changes of the same networks, since lengths are halved on a few of them in turn."""
    return _Base(solution)


def _changed(solution: Solution, change: Change) -> _Changed:
    network = solution.network.changed(change)
    return _Changed(change, network, solution.places if _same_sources(solution.network, change) else Places(network))


def _keeps_unknowns(solution: Solution, changed: _Changed) -> bool:
    """Whether the unknowns stay what they are, and no curve comes in."""
    return changed.network.islands == solution.network.islands and all(_fits(solution, e) for e in changed.change)


def _fits(solution: Solution, e: Element) -> bool:
    old = solution.network.element.get(e.name)
    if isinstance(e, Curve) or not all(end in solution.places.of for end in e.ends):
        return False
    if isinstance(e, VoltageSource) or isinstance(old, VoltageSource):
        return isinstance(e, VoltageSource) and isinstance(old, VoltageSource) and e.ends == old.ends
    return not any(isinstance(x, Resistor) and x.ohm == 0 for x in (e, old))


def _same_sources(sound: Network, change: Change) -> bool:
    """Whether the known side stays as it is."""
    olds = (sound.element.get(e.name) for e in change)
    return not any(isinstance(e, VoltageSource | CurrentSource) for e in (*change, *olds))


class _Base:
    """A solved network with the inverse of its matrix."""

    def __init__(self, solution: Solution) -> None:
        places, elements = solution.places, solution.network.elements
        real = [e for e in elements if isinstance(e, Resistor) and 0 < e.ohm < math.inf]
        curves = [e for e in elements if isinstance(e, Curve)]
        self.places = places
        self.straight, self.curved = lines(places, real), bends(places, curves)
        self.line_row = {e.name: n for n, e in enumerate(real)}
        self.curve_row = {e.name: n for n, e in enumerate(curves)}
        self.known = injected(places, elements)
        self.piece = self.curved.piece(across(self.curved, solution.unknown[None]))
        self.slope, _ = self.curved.pick(self.piece[0])
        plain = matrix(places, self.straight, self.curved, self.slope)
        # a last row and column of zeros stand for the zeros of the islands
        self.matrix, self.inverse = (np.pad(full, ((0, 1), (0, 1))) for full in (plain, np.linalg.inv(plain)))

    def mended(self, changed: Sequence[_Changed]) -> list[Solution | None]:
        """The solution of each, or None where the short cut was no good."""
        stack = self._stack(changed)
        found = newton(self._linear, stack, np.repeat(self.piece, len(changed), axis=0))
        ampere = stack.straight.siemens * across(stack.straight, found.unknown)
        scale = np.maximum(1e-3, np.abs(ampere).max(axis=1, initial=0.0))
        good = found.converged & (self._left_a(stack, found.unknown, ampere) <= BALANCE * scale)
        return [
            Solution(c.network, c.places, found.unknown[n], int(found.steps[n]), converged=True) if good[n] else None
            for n, c in enumerate(changed)
        ]

    def _stack(self, changed: Sequence[_Changed]) -> Stack:
        """The branches of the unchanged network, those replaced without current, and the new ones after them."""
        old, zero = self.straight, self.places.zero
        added = [lines(self.places, [e for e in c.change if isinstance(e, Resistor)]) for c in changed]
        shape = len(changed), len(old.a) + max((len(more.a) for more in added), default=0)
        # what is not there leads from zero to zero
        a, b, siemens = np.full(shape, zero), np.full(shape, zero), np.zeros(shape)
        a[:, : len(old.a)], b[:, : len(old.a)], siemens[:, : len(old.a)] = old.a, old.b, old.siemens
        live = np.ones((len(changed), len(self.curved.a)))
        known = np.tile(self.known, (len(changed), 1))
        for row, (c, more) in enumerate(zip(changed, added, strict=True)):
            names = [e.name for e in c.change]
            siemens[row, [self.line_row[name] for name in names if name in self.line_row]] = 0.0
            live[row, [self.curve_row[name] for name in names if name in self.curve_row]] = 0.0
            new = slice(len(old.a), len(old.a) + len(more.a))
            a[row, new], b[row, new], siemens[row, new] = more.a, more.b, more.siemens
            if c.places is not self.places:
                known[row] = injected(c.places, c.network.elements)
        return Stack(Lines(a, b, siemens), self.curved, live, known, self.places.points)

    def _linear(self, stack: Stack, slope: Floats, side: Floats) -> Floats:
        """The unknowns of the changed networks by mending the inverse.

        Source: Sherman, Morrison and Woodbury's formula for the inverse of a changed matrix (recalled).
        """
        changed = self._differing(stack, slope)
        toward = self.inverse[changed.a] - self.inverse[changed.b]
        core = np.eye(toward.shape[1]) + changed.siemens[..., None] * across(changed, toward.swapaxes(1, 2))

        def mend(side: Floats) -> Floats:
            plain = side @ self.inverse.T
            share = np.linalg.solve(core, (changed.siemens * across(changed, plain))[..., None])
            found: Floats = plain - (share.swapaxes(1, 2) @ toward)[:, 0]
            return found

        try:
            found = mend(side)
            # once more on what is left over, for where much was taken away little is left of the digits
            through = changed.siemens * across(changed, found)
            left = side - found @ self.matrix + gathered(changed.a, changed.b, through, side.shape[1])
            return found + mend(left)
        except np.linalg.LinAlgError:
            return np.full_like(side, math.nan)

    def _differing(self, stack: Stack, slope: Floats) -> Lines:
        """The branches in which each network differs, and by how much; as many of each as of that with the most."""
        straight, curved = stack.straight, self.curved
        change = np.concatenate((straight.siemens, slope), axis=1)
        change[:, : len(self.straight.a)] -= self.straight.siemens
        change[:, straight.siemens.shape[1] :] -= self.slope
        most = np.count_nonzero(change, axis=1).max(initial=0)
        first = np.argsort(change == 0, axis=1, kind="stable")[:, :most]
        rows = np.arange(len(change))[:, None]
        a, b = (
            np.concatenate((line, np.broadcast_to(curve, slope.shape)), axis=1)
            for line, curve in ((straight.a, curved.a), (straight.b, curved.b))
        )
        return Lines(a[rows, first], b[rows, first], change[rows, first])

    def _left_a(self, stack: Stack, unknown: Floats, ampere: Floats) -> Floats:
        """The largest sum of currents into a point other than the zeros, by network; `ampere` flow in the lines."""
        straight = stack.straight
        total = stack.known + gathered(straight.a, straight.b, ampere, unknown.shape[1])
        total -= stack.curve_current(across(self.curved, unknown)) @ self.curved.incidence(unknown.shape[1])
        for n, source in enumerate(self.places.sources, self.places.points):
            total[:, self.places.of[source.plus]] -= unknown[:, n]
            total[:, self.places.of[source.minus]] += unknown[:, n]
        return np.asarray(np.abs(total[:, : self.places.points]).max(axis=1, initial=0.0))
