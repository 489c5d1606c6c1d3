"""S parameters of a board in one selection state, entry by entry or whole."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np

from boardgen.model.netlist import Port
from boardgen.rf.closed import Closed, product, small_inverse
from boardgen.rf.coupling import Coupled, Coupling, Flow, coupled
from boardgen.rf.laws import Array

Mode = Literal["differential", "common"]
Terminal = tuple[str, Mode]
"""A strip and the mode at its port: centre against braid, or braid against 0V."""


@dataclass(frozen=True)
class Solution:
    """The closed strips of one state joined at the shared nets. Arrays are (boards, points)."""

    ports: tuple[Port, ...]
    strips: Mapping[str, Closed]
    selected: str | None
    couplings: tuple[Coupling, ...] = ()

    @cached_property
    def _joined(self) -> Array:
        """The impedance matrix of the shared nets, every port ended in its load."""
        total = sum(strip.shared for strip in self.strips.values())
        return small_inverse(np.asarray(total))

    @cached_property
    def _reach(self) -> dict[str, Array]:
        """What a current into each port does to the shared nets: (m, 2, boards, points)."""
        return {
            p.strip: product(self._joined, np.swapaxes(transfer, 0, 1))
            for p in self.ports
            if (transfer := self.strips[p.strip].transfer) is not None
        }

    def impedance(self, to: Terminal, source: Terminal) -> Array:
        """Voltage at one terminal for a current of one ampere into another, ohm; every terminal has its load."""
        row, column = _index(to), _index(source)
        here, there = self.strips[to[0]], self.strips[source[0]]
        if here.transfer is None or here.local is None:
            message = f"{to[0]} has no port"
            raise KeyError(message)
        result: Array = (here.transfer[row] * self._reach[source[0]][:, column]).sum(axis=0)
        if to[0] == source[0]:
            result = result + here.local[row, column]
        if self._coupled is None or there.local is None:
            return result
        if to not in self._flows:
            self._flows[to] = self._coupled.flow(to[0], row)
        flow = self._flows[to]
        result = result + (flow.shared * self._reach[source[0]][:, column]).sum(axis=0)
        own = flow.probes.get(source[0])
        return result if own is None else result + (own * there.local[2:, column]).sum(axis=0)

    @cached_property
    def _coupled(self) -> Coupled | None:
        """The couplings between strips, where there are any."""
        omega = next(iter(self.strips.values())).omega
        if not self.couplings or omega is None:
            return None
        return coupled(self.couplings, self.strips, self._joined, omega)

    @cached_property
    def _flows(self) -> dict[Terminal, Flow]:
        """By terminal, what couplings carry for a current into it: by reciprocity also what reaches it."""
        return {}

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
        """The whole S matrix, (boards, points, terminals, terminals)."""
        rows = [np.stack([self.s(to, source) for source in self.terminals], -1) for to in self.terminals]
        return np.stack(rows, -2)

    def input_ohm(self, at: Terminal) -> Array:
        """The impedance seen into a terminal, its own load taken away, all others in place."""
        result: Array = 1 / (1 / self.impedance(at, at) - 1 / self.load_ohm(at))
        return result


def _index(terminal: Terminal) -> int:
    return 0 if terminal[1] == "differential" else 1
