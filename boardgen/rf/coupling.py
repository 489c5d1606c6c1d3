"""Capacitors between two strips, taken into a solution whose strips were reduced one by one.

A coupling C between net a of one strip and net b of another is C from each to 0V, which the strips' own blocks have,
and a current jwC v of either net into the other. With Z the impedances between nets without these currents, the series
Z + Z (jwC) Z + Z (jwC) Z (jwC) Z + ... gives those with them: each term is wC times the impedance at the nets smaller
than the one before.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from boardgen.rf.closed import Closed, product
from boardgen.rf.laws import Array

TERMS = 3
"""Terms of the series after the first: where wC |Z| is 0.1, a thousandth of the coupling is left out."""


@dataclass(frozen=True, slots=True)
class Coupling:
    """A capacitor between two nets, each with its strip."""

    ends: tuple[tuple[str, str], tuple[str, str]]
    farads: float


@dataclass(frozen=True)
class Flow:
    """Currents into the probes of each strip, and what they are to the shared nets: each (n, boards, points)."""

    probes: Mapping[str, Array]
    shared: Array


@dataclass(frozen=True)
class Coupled:
    """The couplings of a board in one state.

    `farads` are those from the probes of one strip (rows) to those of another, both ways. `strips` have a port: their
    transfer, local impedance and number of probes. `joined` is the impedance of the shared nets.
    """

    farads: Mapping[tuple[str, str], Array]
    strips: Mapping[str, tuple[Array, Array, int]]
    joined: Array
    omega: Array

    def flow(self, strip: str, row: int) -> Flow:
        """The coupled currents for a current of one ampere into a terminal."""
        transfer, local, _ = self.strips[strip]
        start = self._volts(_applied(self.joined, transfer[row]), {strip: local[:, row]})
        volts = start
        for _ in range(TERMS - 1):
            flow = self._flow(volts)
            local_volts = {s: _applied(self.strips[s][1][2:, 2:], i) for s, i in flow.probes.items()}
            further = self._volts(_applied(self.joined, flow.shared), local_volts)
            volts = {s: start[s] + further[s] for s in start}
        return self._flow(volts)

    def _flow(self, volts: Mapping[str, Array]) -> Flow:
        """Currents into the probes for the voltages at their partners."""
        found = {strip: np.zeros_like(v) for strip, v in volts.items()}
        for (one, two), farads in self.farads.items():
            found[one] += np.tensordot(farads, volts[two], 1)
        for currents in found.values():
            currents *= 1j * self.omega
        shared = sum(_applied(np.swapaxes(self.strips[s][0][2:], 0, 1), i) for s, i in found.items())
        return Flow(found, np.asarray(shared))

    def _volts(self, shared: Array, local: Mapping[str, Array]) -> dict[str, Array]:
        """Voltages at every probe for those of the shared nets, and what each strip adds by itself."""
        found = {}
        for strip, (transfer, _, probes) in self.strips.items():
            if probes:
                found[strip] = _applied(transfer[2:], shared)
                if strip in local:
                    found[strip] = found[strip] + local[strip][-probes:]
        return found


def coupled(couplings: Sequence[Coupling], strips: Mapping[str, Closed], joined: Array, omega: Array) -> Coupled:
    """The couplings of the strips that have a port."""
    place = {(name, net): n for name, strip in strips.items() for n, net in enumerate(strip.probes)}
    farads: dict[tuple[str, str], Array] = {}
    for coupling in couplings:
        for one, two in (coupling.ends, coupling.ends[::-1]):
            shape = (len(strips[one[0]].probes), len(strips[two[0]].probes))
            farads.setdefault((one[0], two[0]), np.zeros(shape))[place[one], place[two]] += coupling.farads
    ported = {
        name: (strip.transfer, strip.local, len(strip.probes))
        for name, strip in strips.items()
        if strip.transfer is not None and strip.local is not None
    }
    return Coupled(farads, ported, joined, omega)


def _applied(matrix: Array, vector: Array) -> Array:
    """A matrix times a vector over their first axes."""
    return product(matrix, vector[:, None])[:, 0]
