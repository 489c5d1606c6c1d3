"""Capacitors between two strips, taken into a solution whose strips were reduced one by one: a Neumann series.

A coupling C between net a of one strip and net b of another is C from each to 0V, which the strips' own blocks have,
and a current jwC v of either net into the other. With Z the impedances between nets without these currents, the series
Z + Z (jwC) Z + Z (jwC) Z (jwC) Z + ... gives those with them: each term is wC times the impedance at the nets smaller
than the one before.

Z is L + T J T', with J the impedance of the shared nets, T what their voltages are at the probes, and L each strip by
itself with the shared nets held. So every term falls into products of C, L and T, which do not ask for J and stay the
same, strip by strip, in all states that differ only in relays further off than the currents reach. The series ends
after REACH couplings in a row; against one full matrix it is good to 0.02 dB down to -120 dB.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cached_property
from typing import Concatenate, ParamSpec

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from boardgen.model.selection import SelectionState
from boardgen.rf_network.device_models import Array
from boardgen.rf_network.terminated_block import TerminatedBlock, product

Others = ParamSpec("Others")
REACH = 3
"""Couplings in a row that the last term of the series goes through."""


class Coupling(Struct, frozen=True):
    """A capacitor between two nets, each with its strip; it may lie anywhere from `least` to `most`, in farads."""

    ends: tuple[tuple[str, str], tuple[str, str]]
    farads: float
    least: float
    most: float


def _near(
    steps: int,
) -> Callable[
    [Callable[Concatenate[Coupled, SelectionState, str, Others], Array]],
    Callable[Concatenate[Coupled, SelectionState, str, Others], Array],
]:
    """Worked out once for all states in which the relays operate alike as far as so many couplings reach."""

    def decorated(
        make: Callable[Concatenate[Coupled, SelectionState, str, Others], Array],
    ) -> Callable[Concatenate[Coupled, SelectionState, str, Others], Array]:
        def known(
            self: Coupled, operated: SelectionState, strip: str, /, *args: Others.args, **more: Others.kwargs
        ) -> Array:
            if self.before is not None and self.changed not in self.within[strip, steps]:
                return known(self.before, operated, strip, *args, **more)
            found = self.found_for(operated & self.relays_within[strip, steps])
            key = (make.__name__, strip, *args)
            if key not in found:
                found[key] = make(self, operated, strip, *args, **more)
            return found[key]

        return known

    return decorated


class Coupled(Struct, frozen=True, dict=True):
    """The couplings of a board. `strips` are its blocks in the states that are asked for, `relays` those of each strip.

    `farads` are those from the probes of one strip (rows) to those of another, both ways. Results are products of C, L,
    T and E, which holds a strip's own voltages for currents into its two terminals; ' stands for the transpose. Arrays
    are (rows, columns, boards, points), m the number of shared nets. `scale`, (boards,) or (1,), multiplies every
    coupling of a board. The series has three terms after the first: where wC |Z| is 0.1, a thousandth of the coupling
    is left out. `before` are couplings that differ in the strip `changed`.
    """

    farads: Mapping[tuple[str, str], Array]
    strips: Mapping[tuple[str, SelectionState], TerminatedBlock]
    relays: Mapping[str, frozenset[str]]
    omega: Array
    scale: Array
    before: Coupled | None = None
    changed: str = ""

    def with_strip(self, key: tuple[str, SelectionState], block: TerminatedBlock) -> Coupled:
        """The same with another block for one strip; what lies far from it is not worked out again."""
        return replace(self, strips={**self.strips, key: block}, before=self, changed=key[0])

    @cached_property
    def beside(self) -> dict[str, tuple[str, ...]]:
        """The strips that are coupled to each."""
        if self.before is not None:
            return self.before.beside
        found: dict[str, list[str]] = {}
        for one, other in self.farads:
            found.setdefault(one, []).append(other)
        return {strip: tuple(others) for strip, others in found.items()}

    @cached_property
    def within(self) -> dict[tuple[str, int], frozenset[str]]:
        """The strips that so many couplings in a row reach from each."""
        if self.before is not None:
            return self.before.within
        found = {(strip, 0): frozenset({strip}) for strip in self.beside}
        for steps in range(1, REACH + 1):
            for strip, others in self.beside.items():
                found[strip, steps] = found[strip, 0].union(*(found[other, steps - 1] for other in others))
        return found

    @cached_property
    def relays_within(self) -> dict[tuple[str, int], frozenset[str]]:
        """The relays of the strips that so many couplings in a row reach from each."""
        if self.before is not None:
            return self.before.relays_within
        return {key: frozenset().union(*(self.relays[s] for s in strips)) for key, strips in self.within.items()}

    @cached_property
    def _each_farad(self) -> Array:
        """The admittance of a farad at each point, in each board, S: (boards, points)."""
        result: Array = 1j * self.omega * self.scale[:, None]
        return result

    def found_for(self, near: SelectionState) -> dict[tuple[object, ...], Array]:
        """What was worked out before where of the relays near by these are operated.

        Beside that of none only the last one's is kept: states are asked for one by one, and fresh memory is slow.
        """
        if near not in self._known:
            for other in [other for other in self._known if other]:
                del self._known[other]
            self._known[near] = {}
        return self._known[near]

    @cached_property
    def _known(self) -> dict[SelectionState, dict[tuple[object, ...], Array]]:
        return {}

    def shared(self, operated: SelectionState) -> tuple[Array, Array, Array]:
        """T'CT, T'CLCT and T'CLCLCT, each (m, m, ...)."""
        return (
            _sum(self._first(operated, strip) for strip in self.beside),
            _sum(self._second(operated, strip) for strip in self.beside),
            _sum(self._third(operated, strip) for strip in self.beside),
        )

    def of_strip(self, operated: SelectionState, strip: str) -> tuple[Array, Array, Array]:
        """T'CE, T'CLCE and T'CLCLCE, each (m, 2, ...); zeros for a strip that no other is coupled to."""
        if strip not in self.beside:
            shared = self.strips[strip, operated & self.relays[strip]].shared
            return (np.zeros((len(shared), 2, 1, 1)),) * 3
        return self._own_first(operated, strip), self._own_second(operated, strip), self._own_third(operated, strip)

    @_near(REACH)
    def between(self, operated: SelectionState, one: str, two: str) -> Array:
        """E'CE + E'CLCE + E'CLCLCE from one strip to another, or to itself: (2, 2, ...)."""
        found = [_dot(self._own(operated, one), self._ce(operated, two, one))] if two in self.beside[one] else []
        for near in self.beside[one]:
            volts = self._lce(operated, one, near)
            if near in self.beside[two]:
                found.append(_dot(volts, self._ce(operated, two, near)))
            far = {other: self._lce(operated, two, other) for other in self.beside[two] if other in self.beside[near]}
            if far:
                found.append(_dot(volts, self._currents(near, far)))
        return _sum(found)

    @_near(1)
    def _first(self, operated: SelectionState, strip: str) -> Array:
        return _dot(self._volts(operated, strip), self._ct(operated, strip))

    @_near(1)
    def _second(self, operated: SelectionState, strip: str) -> Array:
        return _dot(self._lct(operated, strip), self._ct(operated, strip))

    @_near(2)
    def _third(self, operated: SelectionState, strip: str) -> Array:
        return _dot(self._lct(operated, strip), self._clct(operated, strip))

    @_near(1)
    def _own_first(self, operated: SelectionState, strip: str) -> Array:
        return _dot(self._ct(operated, strip), self._own(operated, strip))

    @_near(2)
    def _own_second(self, operated: SelectionState, strip: str) -> Array:
        return _dot(self._clct(operated, strip), self._own(operated, strip))

    @_near(3)
    def _own_third(self, operated: SelectionState, strip: str) -> Array:
        volts = {other: self._lclct(operated, other) for other in self.beside[strip]}
        return _dot(self._currents(strip, volts), self._own(operated, strip))

    @_near(1)
    def _ct(self, operated: SelectionState, strip: str) -> Array:
        """C T: currents into the strip's probes for volts of the shared nets."""
        return self._currents(strip, {other: self._volts(operated, other) for other in self.beside[strip]})

    @_near(1)
    def _lct(self, operated: SelectionState, strip: str) -> Array:
        return product(self._local(operated, strip), self._ct(operated, strip))

    @_near(2)
    def _clct(self, operated: SelectionState, strip: str) -> Array:
        return self._currents(strip, {other: self._lct(operated, other) for other in self.beside[strip]})

    @_near(2)
    def _lclct(self, operated: SelectionState, strip: str) -> Array:
        return product(self._local(operated, strip), self._clct(operated, strip))

    @_near(0)
    def _ce(self, operated: SelectionState, strip: str, other: str) -> Array:
        """C E: currents into the other strip's probes for currents into this one's terminals."""
        return self._currents(other, {strip: self._own(operated, strip)})

    @_near(1)
    def _lce(self, operated: SelectionState, strip: str, other: str) -> Array:
        return product(self._local(operated, other), self._ce(operated, strip, other))

    def _currents(self, strip: str, volts: Mapping[str, Array]) -> Array:
        """Into the probes of a strip, for voltages at those of others."""
        total = _sum(_times(self.farads[strip, other], found) for other, found in volts.items())
        own = total.shape[2] >= self.scale.size
        return np.multiply(total, self._each_farad, out=total if own else None)

    def _volts(self, operated: SelectionState, strip: str) -> Array:
        transfer = self.strips[strip, operated & self.relays[strip]].transfer
        return np.zeros((0, 0)) if transfer is None else transfer[2:]

    def _own(self, operated: SelectionState, strip: str) -> Array:
        local = self.strips[strip, operated & self.relays[strip]].local
        return np.zeros((0, 0)) if local is None else local[2:, :2]

    def _local(self, operated: SelectionState, strip: str) -> Array:
        local = self.strips[strip, operated & self.relays[strip]].local
        return np.zeros((0, 0)) if local is None else local[2:, 2:]


def coupled(
    couplings: Sequence[Coupling],
    strips: Mapping[tuple[str, SelectionState], TerminatedBlock],
    relays: Mapping[str, frozenset[str]],
    omega: Array,
    scale: Array,
) -> Coupled | None:
    """The couplings of strips that have a port, times `scale`, (boards,) or (1,); None where there are none."""
    probes = {name: strip.probes for (name, _), strip in strips.items()}
    place = {(name, net): n for name, nets in probes.items() for n, net in enumerate(nets)}
    farads: dict[tuple[str, str], Array] = {}
    for coupling in couplings:
        for one, two in (coupling.ends, coupling.ends[::-1]):
            if (one[0], two[0]) not in farads:
                farads[one[0], two[0]] = np.zeros((len(probes[one[0]]), len(probes[two[0]])))
            farads[one[0], two[0]][place[one], place[two]] += coupling.farads
    return Coupled(farads, strips, relays, omega, scale) if farads else None


def _times(matrix: Array, vectors: Array) -> Array:
    """A matrix of real numbers times complex vectors over their first axis."""
    flat = np.ascontiguousarray(vectors, complex).reshape(vectors.shape[0], -1).view(float)
    result: Array = (matrix @ flat).view(complex).reshape(matrix.shape[0], *vectors.shape[1:])
    return result


def _dot(first: Array, second: Array) -> Array:
    """The transpose of the first times the second."""
    return product(np.swapaxes(first, 0, 1), second)


def _sum(terms: Iterable[Array]) -> Array:
    """All of them together; nothing is zero everywhere."""
    total: Array | None = None
    own = False
    for term in terms:
        if total is None:
            total = term
        elif own and np.broadcast_shapes(total.shape, term.shape) == total.shape:
            total += term
        else:
            total, own = total + term, True
    return np.zeros((2, 2, 1, 1)) if total is None else total
