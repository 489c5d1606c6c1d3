"""A reduced block whose port is terminated in its loads: its admittance at the shared nets, its transfer from them.

Matrices are small and many: the first two axes are rows and columns, (copies, points) follow. Products and inverses run
along the copies and points (4 by 4 inverses of a drawn run: 1.3 ms, against 24 ms one matrix at a time).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from boardgen.rf_network.block import Incidence
from boardgen.rf_network.device_models import Array

FEW = 2
"""Matrices of so few rows are multiplied all at once."""


class TerminatedBlock(Struct, frozen=True):
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

    def copied(self, numbers: Array) -> TerminatedBlock:
        """With these of its copies in this order."""
        if self.transfer is None or self.local is None:
            return replace(self, shared=self.shared.take(numbers, axis=2))
        shared, transfer, local = (m.take(numbers, axis=2) for m in (self.shared, self.transfer, self.local))
        return replace(self, shared=shared, transfer=transfer, local=local)


def terminated(matrix: Array, own: int, port: tuple[Incidence, ...], loads_ohm: tuple[float, float]) -> TerminatedBlock:
    """Terminate a reduced block in the loads of its port.

    Parameters
    ----------
    matrix : (own + m, own + m, copies, points) complex array, siemens
        The reduced block; its first `own` variables belong to its port alone, the other m are shared.
    port : the port's differential and common-mode voltage, then one for each probe, as signed variables; none for a
        block without a port. Where they are shared variables, the loads go there.
    loads_ohm : the loads of the two modes

    """
    if not port:
        return TerminatedBlock(matrix, None, None, loads_ohm)
    matrix = matrix.copy()
    for incidence, ohm in zip(port, loads_ohm, strict=False):
        for row, sign in incidence:
            for column, other in incidence:
                matrix[row, column] += sign * other / ohm
    mine, theirs = ([_only(incidence, *part) for incidence in port] for part in ((0, own), (own, matrix.shape[0])))
    shared = matrix[own:, own:]
    fixed = _across(theirs, np.eye(shared.shape[0])[:, :, None, None])
    if not own:
        transfer = np.broadcast_to(fixed, (len(port), *shared.shape[1:])).astype(complex)
        return TerminatedBlock(shared, transfer, np.zeros((2, 2, *matrix.shape[2:]), complex), loads_ohm)
    inverse = small_inverse(matrix[:own, :own])
    seen = -product(inverse, matrix[:own, own:])
    shared = shared + product(matrix[own:, :own], seen)
    transfer = _across(mine, seen) + fixed
    local = _across(mine, np.swapaxes(_across(mine, inverse), 0, 1))
    return TerminatedBlock(shared, transfer, local, loads_ohm)


def _only(incidence: Incidence, first: int, end: int) -> Incidence:
    """The variables in that range, counted from its first."""
    return tuple((at - first, sign) for at, sign in incidence if first <= at < end)


def _across(voltages: Sequence[Incidence], rows: Array) -> Array:
    """Rows added up with their signs, for each of the voltages."""
    found = np.empty((len(voltages), *rows.shape[1:]), rows.dtype)
    for total, incidence in zip(found, voltages, strict=True):
        if not incidence:
            total[...] = 0
        for number, (at, sign) in enumerate(incidence):
            if number:
                (np.add if sign > 0 else np.subtract)(total, rows[at], out=total)
            else:
                (np.positive if sign > 0 else np.negative)(rows[at], out=total)
    return found


def product(first: Array, second: Array) -> Array:
    """Matrix product over the first two axes, which are short, along all others."""
    if second.shape[0] <= FEW:
        total: Array = first[:, 0, None] * second[0]
        share = np.empty_like(total)
        for inner in range(1, second.shape[0]):
            total += np.multiply(first[:, inner, None], second[inner], out=share)
        return total
    # row by row, so that what is added up next is still at hand
    copies = np.broadcast_shapes(first.shape[2:], second.shape[2:])
    total = np.empty((first.shape[0], second.shape[1], *copies), complex)
    share = np.empty((*second.shape[:2], *copies), complex)
    for row, place in zip(first, total, strict=True):
        np.add.reduce(np.multiply(row[:, None], second, out=share), axis=0, out=place)
    return total


def small_inverse(matrix: Array) -> Array:
    """The inverse of symmetric (n, n, ...) matrices of a few rows, by elimination in order along all other axes.

    What is left stays symmetric, so the upper half alone is worked on; it ends as the inverse with its sign changed.
    """
    work: Array = matrix.astype(complex, copy=True)
    share, column = np.empty_like(work[0]), np.empty_like(work[0])
    for pivot in range(work.shape[0]):
        inverse = 1 / work[pivot, pivot]
        column[:pivot], column[pivot:] = work[:pivot, pivot], work[pivot, pivot:]
        row = column * inverse
        for number, other in enumerate(work):
            if number != pivot:
                other[number:] -= np.multiply(row[number], column[number:], out=share[number:])
        work[:pivot, pivot], work[pivot, pivot:] = row[:pivot], row[pivot:]
        work[pivot, pivot] = -inverse
    for number, row in enumerate(work):
        np.negative(row[number:], out=row[number:])
        work[number + 1 :, number] = row[number + 1 :]
    return work
