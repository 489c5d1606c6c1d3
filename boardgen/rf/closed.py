"""A reduced strip with its port ended in its loads: what it is to the shared nets, and what its port sees of them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from boardgen.rf.block import Incidence
from boardgen.rf.laws import Array


@dataclass(frozen=True)
class Closed:
    """`shared` (m, m, copies, points) is its admittance at the shared nets, loads included.

    `transfer` (n, m, ...) gives the port's differential and common-mode voltage, and that of each probe, for the shared
    voltages, and `local` (n, n, ...) those for currents into them with the shared nets held. `loads_ohm` are the two
    loads. A block without a port has None. `probes` are nets that something couples to another strip.
    """

    shared: Array
    transfer: Array | None
    local: Array | None
    loads_ohm: tuple[float, float]
    probes: tuple[str, ...] = ()
    omega: Array | None = None


def closed(matrix: Array, own: int, port: tuple[Incidence, ...], loads_ohm: tuple[float, float]) -> Closed:
    """Closes a reduced matrix whose first `own` variables belong to its port alone, the rest being shared.

    `port` gives the port's two voltages, then one for each probe, as signed variables; where they are shared ones, the
    loads go there.
    """
    if not port:
        return Closed(matrix, None, None, loads_ohm)
    matrix = matrix.copy()
    voltages = np.zeros((len(port), matrix.shape[0]))
    for row, incidence in enumerate(port):
        for at, sign in incidence:
            voltages[row, at] = sign
    for voltage, ohm in zip(voltages, loads_ohm, strict=False):
        matrix += (np.outer(voltage, voltage) / ohm)[:, :, None, None]
    shared = matrix[own:, own:]
    transfer = np.broadcast_to(voltages[:, own:, None, None], (len(port), *shared.shape[1:])).astype(complex)
    if not own:
        return Closed(shared, transfer, np.zeros((2, 2, *matrix.shape[2:]), complex), loads_ohm)
    inverse = small_inverse(matrix[:own, :own])
    seen = -product(inverse, matrix[:own, own:])
    shared = shared + product(matrix[own:, :own], seen)
    mine = voltages[:, :own]
    transfer += product(mine, seen)
    return Closed(shared, transfer, product(product(mine, inverse), mine.T), loads_ohm)


def product(first: Array, second: Array) -> Array:
    """Matrix product over the first two axes, which are short, along all others."""
    first, second = (m[:, :, None, None] if m.ndim == 2 else m for m in (first, second))
    total: Array = first[:, 0, None] * second[0]
    for inner in range(1, second.shape[0]):
        total = total + first[:, inner, None] * second[inner]
    return total


def small_inverse(matrix: Array) -> Array:
    """The inverse of symmetric (n, n, ...) matrices of a few rows, by elimination in order along all other axes."""
    work: Array = matrix.astype(complex, copy=True)
    for pivot in range(work.shape[0]):
        inverse = 1 / work[pivot, pivot]
        row = work[pivot] * inverse
        column = work[:, pivot].copy()
        for other in range(work.shape[0]):
            if other != pivot:
                work[other] -= column[other] * row
                work[other, pivot] = -column[other] * inverse
        work[pivot] = row
        work[pivot, pivot] = inverse
    return work
