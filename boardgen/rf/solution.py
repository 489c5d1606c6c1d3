"""S parameters of a board in one selection state, entry by entry or whole.

With strips reduced to the shared nets, Z between two terminals is t' J t (+ the strip's own): J the inverse of the sum
of the strips' admittances at the shared nets, t the strips' transfers. A power wave parameter is S = 2 Z / sqrt(R R')
less 1 on the diagonal, since every terminal has its load R in Z already. Source: K. Kurokawa, Power waves and the
scattering matrix, 1965 (recalled).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property
from itertools import combinations_with_replacement
from typing import Literal

import numpy as np
from msgspec import Struct
from msgspec.structs import astuple

from boardgen.model.netlist import Port
from boardgen.model.selection import SelectionState
from boardgen.rf.coupling import Coupled
from boardgen.rf_network.device_models import Array
from boardgen.rf_network.terminated_block import TerminatedBlock, product, small_inverse

Mode = Literal["differential", "common"]
Terminal = tuple[str, Mode]
"""A strip and the mode at its port: centre against braid, or braid against 0V."""


class _Bent(Struct, frozen=True):
    """What couplings do to a strip's two terminals as seen from others: each (m, 2, boards, points).

    With the letters of boardgen.rf.coupling, r = J t the shared nets' voltages for currents into the terminals, and
    z = T r + E those at the probes: `first`, `second` and r are what T'CE, T'CLCE and T'CLCLCE of the other strip meet,
    and `rest` is what the other's r meets.
    """

    first: Array
    second: Array
    rest: Array


class Solution(Struct, frozen=True, dict=True):
    """The closed strips of one state joined at the shared nets, and what couples them else.

    Arrays are (boards, points).
    """

    ports: tuple[Port, ...]
    strips: Mapping[str, TerminatedBlock]
    operated: SelectionState
    coupled: Coupled | None = None

    @cached_property
    def _joined(self) -> Array:
        """The impedance matrix of the shared nets, every port ended in its load."""
        total = sum(strip.shared for strip in self.strips.values())
        return small_inverse(np.asarray(total))

    def _reach(self, strip: str) -> Array:
        """What a current into each terminal of a strip does to the shared nets: (m, 2, boards, points)."""
        if strip not in self._reach_of:
            self._reach_of[strip] = product(self._joined, self._transfer(strip))
        return self._reach_of[strip]

    def _transfer(self, strip: str) -> Array:
        """What each shared net does to the terminals of a strip: (m, 2, boards, points)."""
        transfer = self.strips[strip].transfer
        if transfer is None:
            message = f"{strip} has no port"
            raise KeyError(message)
        return np.swapaxes(transfer[:2], 0, 1)

    @cached_property
    def _reach_of(self) -> dict[str, Array]:
        return {}

    def impedance(self, to: Terminal, source: Terminal) -> Array:
        """Voltage at one terminal for a current of one ampere into another, ohm; every terminal has its load."""
        row, column = _index(to), _index(source)
        here, there = self.strips[to[0]], self.strips[source[0]]
        if here.transfer is None or here.local is None:
            message = f"{to[0]} has no port"
            raise KeyError(message)
        result: Array = (here.transfer[row] * self._reach(source[0])[:, column]).sum(axis=0)
        if to[0] == source[0]:
            result = result + here.local[row, column]
        if self.coupled is not None and there.local is not None:
            result = result + self._through_couplings(self.coupled, to, source)
        return result

    def _through_couplings(self, coupled: Coupled, to: Terminal, source: Terminal) -> Array:
        """What the series of the couplings adds to the impedance between two terminals."""
        here, (row, column) = self._bent(coupled, to[0]), (_index(to), _index(source))
        found: Array = (here.rest[:, row] * self._reach(source[0])[:, column]).sum(axis=0)
        if source[0] in coupled.beside:
            sides = (here.first, here.second, self._reach(to[0]))
            terms = coupled.of_strip(self.operated, source[0])
            for side, term in zip(sides, terms, strict=True):
                found = found + (side[:, row] * term[:, column]).sum(axis=0)
            if to[0] in coupled.beside:
                found = found + coupled.between(self.operated, to[0], source[0])[row, column]
        return found

    def _bent(self, coupled: Coupled, strip: str) -> _Bent:
        """The series is split so that all work with whole matrices is done for the terminal that is looked at alone.

        With a = T'Cz, `first` is r + J (a + T'CLCz + T'CT J a) and `second` r + J a.
        """
        if strip not in self._bent_of:
            first, second, third = self._shared_couplings
            reach = self._reach(strip)
            once, twice = product(first, reach), product(second, reach)
            own: Array | float = 0.0
            if strip in coupled.beside:
                terms = coupled.of_strip(self.operated, strip)
                once, twice = once + terms[0], twice + terms[1]
                own = terms[0] + terms[1] + terms[2]
            joined = product(self._joined, once)
            after_one = reach + product(self._joined, once + twice + product(first, joined))
            after_two = reach + joined
            rest = product(first, after_one) + product(second, after_two) + product(third, reach) + own
            self._bent_of[strip] = _Bent(after_one, after_two, rest)
        return self._bent_of[strip]

    @cached_property
    def _bent_of(self) -> dict[str, _Bent]:
        return {}

    @cached_property
    def _shared_couplings(self) -> tuple[Array, Array, Array]:
        if self.coupled is None:
            raise ValueError("nothing is coupled")
        return self.coupled.shared(self.operated)

    def s(self, to: Terminal, source: Terminal) -> Array:
        """The S parameter from one terminal to another, each referred to its own load."""
        scale = 2 / np.sqrt(self.load_ohm(to) * self.load_ohm(source))
        result: Array = scale * self.impedance(to, source) - (1 if to == source else 0)
        return result

    def load_ohm(self, at: Terminal) -> float:
        """The load, which is the reference impedance, of a terminal."""
        return self.strips[at[0]].loads_ohm[_index(at)]

    @cached_property
    def terminals(self) -> tuple[Terminal, ...]:
        """The rows of `matrix`: differential and common mode of each port."""
        modes: tuple[Mode, Mode] = ("differential", "common")
        return tuple((p.strip, mode) for p in self.ports for mode in modes)

    def matrix(self) -> Array:
        """The whole S matrix, (boards, points, terminals, terminals), by one product of all terminals' transfers."""
        ohm = np.array([self.load_ohm(terminal) for terminal in self.terminals])
        result = self._impedances()
        result *= 2 / np.sqrt(np.outer(ohm, ohm))
        each = np.arange(ohm.size)
        result[..., each, each] -= 1
        return result

    def _impedances(self) -> Array:
        """`impedance` between any two terminals, laid out as `matrix` is."""
        names = [port.strip for port in self.ports]
        reach = _side_by_side(map(self._reach, names))
        given, taken = [_side_by_side(map(self._transfer, names))], [reach]
        if self.coupled is not None:
            bent = (astuple(self._bent(self.coupled, name)) for name in names)
            terms = (self.coupled.of_strip(self.operated, name) for name in names)
            first, second, rest = (_side_by_side(parts) for parts in zip(*bent, strict=True))
            given = [given[0] + rest, first, second, reach]
            taken += [_side_by_side(parts) for parts in zip(*terms, strict=True)]
        result: Array = np.swapaxes(_by_point(np.concatenate(given)), -1, -2) @ _by_point(np.concatenate(taken))
        for number, name in enumerate(names):
            local = self.strips[name].local
            if local is not None:
                result[..., _pair(number), _pair(number)] += _by_point(local[:2, :2])
        if self.coupled is not None:
            self._add_between(self.coupled, result)
        return result

    def _add_between(self, coupled: Coupled, impedances: Array) -> None:
        """What couplings give straight from strip to strip."""
        joined = [(number, port.strip) for number, port in enumerate(self.ports) if port.strip in coupled.beside]
        for (column, source), (row, to) in combinations_with_replacement(joined, 2):
            block = _by_point(coupled.between(self.operated, to, source))
            impedances[..., _pair(row), _pair(column)] += block
            if row != column:
                impedances[..., _pair(column), _pair(row)] += np.swapaxes(block, -1, -2)

    def input_ohm(self, at: Terminal) -> Array:
        """The impedance seen into a terminal, its own load taken away, all others in place."""
        result: Array = 1 / (1 / self.impedance(at, at) - 1 / self.load_ohm(at))
        return result


def _side_by_side(columns: Iterable[Array]) -> Array:
    """Two columns a strip, (m, 2, boards, points), as one matrix; what is equal in all boards stands there once."""
    return np.concatenate(np.broadcast_arrays(*columns), axis=1)


def _by_point(matrices: Array) -> Array:
    """Rows and columns behind boards and points, as matrix products want them."""
    return np.ascontiguousarray(np.moveaxis(matrices, (0, 1), (-2, -1)))


def _pair(number: int) -> slice:
    """The rows of a port in `Solution.matrix`."""
    return slice(2 * number, 2 * number + 2)


def _index(terminal: Terminal) -> int:
    return 0 if terminal[1] == "differential" else 1
