"""Capacitances of copper on both sides of a board, from the field of thin conductors on a slab.

Algorithm: field solution by a spectral Green's function and conjugate gradients (Hestenes and Stiefel, 1952, recalled).
With potentials f1 and f2 on the two sides, Laplace's equation for each wave number k gives the charge per area

    q1 = e0 k (1 + er coth kh) f1 - e0 er k / sinh(kh) f2        and q2 likewise,

air outside, a slab of er and thickness h between (separation of variables, textbook): one factor for the sum of both
sides and one for their difference. Where there is no copper the charge is zero, which fixes the potential there: a
linear system, solved by conjugate gradients with fast Fourier transforms, first on cells of twice the size for a
first guess. Copper is without thickness, cells are square, everything outside the window is 0V. Cost: a transform forth
and back for each of at most MOST_STEPS steps, O(n log n) in the n cells of the window.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from boardgen.board.copper_raster import FREE, Labels
from boardgen.handbook.constants import ELECTRIC_CONSTANT_F_PER_M
from boardgen.handbook.stray import FR4_HIGHEST_PERMITTIVITY, FR4_LOWEST_PERMITTIVITY

THICKNESS_M = 1.6e-3
"""Of the board: that of the common two-layer board, as the fabrication note asks for it."""
PERMITTIVITY = (FR4_LOWEST_PERMITTIVITY + FR4_HIGHEST_PERMITTIVITY) / 2
"""Of FR-4 at radio frequency: the middle of what makers state."""
MOST_STEPS = 40
"""Of conjugate gradients, after which the solution is taken as it is."""
ENOUGH, ENOUGH_TO_BEGIN = 2e-4, 1e-3
"""Solved when a step lowers the energy by less than this share of it; on coarse cells, where it is a first guess."""
FAR = 300.0
"""k h beyond which both sides of the slab know nothing of each other; cosh would overflow further on."""
Array = NDArray[np.float64]


def charges(
    labels: Labels,
    number: int,
    cell_m: float,
    thickness_m: float = THICKNESS_M,
    permittivity: float = PERMITTIVITY,
    *,
    guess: Array | None = None,
) -> tuple[Array, Array]:
    """Charges on the copper of each net when one net is at 1 V and every other at 0 V.

    Parameters
    ----------
    labels : (2, rows, columns) integers, the net of every cell as a Raster has them
    number : the net at 1 V
    cell_m : side of a cell, metres
    thickness_m, permittivity : of the board, metres and relative
    guess : (2, rows, columns) a guess of the potential in volts, which saves the coarse cells

    Returns
    -------
    Charges in coulombs, (nets + 1,), 0V first: the net's own entry is its whole capacitance in farads, every other the
    negative of that between the two nets. And the potential of every cell in volts, in the shape of `labels`.

    """
    rows, columns = (2 * _fast((n + 1) // 2) for n in labels.shape[1:])
    padded = np.zeros((2, rows, columns), np.int16)
    padded[:, : labels.shape[1], : labels.shape[2]] = labels
    free = (padded == FREE).astype(float)
    potential = (padded == number).astype(float)
    if guess is None:
        shares = _halved(free)
        coarse, coarse_free = _halved(potential) / np.maximum(1 - shares, 0.25), np.floor(shares)
        _solve(_Slab(coarse.shape, 2 * cell_m, thickness_m, permittivity), coarse, coarse_free, ENOUGH_TO_BEGIN)
        np.copyto(potential, coarse.repeat(2, 1).repeat(2, 2), where=free > 0)
    else:
        there = potential[:, : labels.shape[1], : labels.shape[2]]
        np.copyto(there, guess, where=labels == FREE)
    density = _solve(_Slab(free.shape, cell_m, thickness_m, permittivity), potential, free, ENOUGH)
    counted = np.bincount((padded - FREE).ravel(), weights=density.ravel(), minlength=int(labels.max()) + 1 - FREE)
    return np.asarray(counted[-FREE:] * cell_m**2), potential[:, : labels.shape[1], : labels.shape[2]]


class _Slab:
    """Charge from potential, on work space of its own: a step of the solution is to allocate nothing."""

    def __init__(self, shape: tuple[int, ...], cell_m: float, thickness_m: float, permittivity: float) -> None:
        self._factors = _factors(*shape[1:], cell_m, thickness_m, permittivity)
        self._modes = np.empty(shape)
        self._waves = np.empty(self._factors.shape, complex)

    def charge(self, potential: Array, density: Array) -> None:
        """Writes into `density` the charge per area that `potential` (2, rows, columns) makes."""
        modes, waves = self._modes, self._waves
        np.add(potential[0], potential[1], out=modes[0])
        np.subtract(potential[0], potential[1], out=modes[1])
        np.fft.rfft(modes, axis=2, out=waves)
        np.fft.fft(waves, axis=1, out=waves)
        waves *= self._factors
        np.fft.ifft(waves, axis=1, out=waves)
        np.fft.irfft(waves, modes.shape[2], axis=2, out=modes)
        np.add(modes[0], modes[1], out=density[0])
        np.subtract(modes[0], modes[1], out=density[1])


def _solve(slab: _Slab, potential: Array, free: Array, enough: float) -> Array:
    """Changes `potential` where `free` is 1 until there is no charge, and returns the charge density."""
    density, change = np.empty_like(potential), np.empty_like(potential)
    slab.charge(potential, density)
    energy = float(np.vdot(potential, density))
    rest = -density * free
    step, size = rest.copy(), float(np.vdot(rest, rest))
    for _ in range(MOST_STEPS if size else 0):
        slab.charge(step, change)
        length = size / float(np.vdot(step, change))
        gain = length * size
        energy -= gain
        change *= length
        density += change
        potential += length * step
        change *= free
        rest -= change
        before, size = size, float(np.vdot(rest, rest))
        if gain <= enough * energy or not size:
            break
        step *= size / before
        step += rest
    return density


def _halved(cells: Array) -> Array:
    """The mean of each two by two cells."""
    rows = cells[:, ::2] + cells[:, 1::2]
    return (rows[:, :, ::2] + rows[:, :, 1::2]) / 4


@lru_cache(maxsize=64)
def _factors(rows: int, columns: int, cell_m: float, thickness_m: float, permittivity: float) -> Array:
    """Half of charge over potential by wave number: where both sides are alike, and where they are opposite."""
    upwards = 2 * np.pi * np.fft.fftfreq(rows, cell_m)[:, None]
    wave = np.hypot(upwards, 2 * np.pi * np.fft.rfftfreq(columns, cell_m))
    wave[0, 0] = 1e-3 / thickness_m
    depth = np.minimum(wave * thickness_m, FAR)
    own, across = 1 + permittivity / np.tanh(depth), -permittivity / np.sinh(depth)
    return np.asarray(ELECTRIC_CONSTANT_F_PER_M * wave * np.stack([own + across, own - across]) / 2)


def _fast(number: int) -> int:
    """The next number that is a product of 2, 3 and 5."""
    rest = number
    for prime in (2, 3, 5):
        while rest % prime == 0:
            rest //= prime
    return number if rest == 1 else _fast(number + 1)
